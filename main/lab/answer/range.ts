/** Byte ranges of a resource. Source: RFC 9110, section 14 (Range Requests). */

export type RangeAnswer =
  /** The whole resource: no range, one that is not understood, or several at once. */
  | { readonly kind: 'whole' }
  /** Bytes `first` to `last`, both included, counted from 0. */
  | { readonly kind: 'part'; readonly first: number; readonly last: number }
  /** Nothing of the resource lies in the range. */
  | { readonly kind: 'beyond' };

const SINGLE = /^bytes=[ \t]*(\d*)-(\d*)[ \t]*$/i;
const WHOLE = { kind: 'whole' } as const;
const BEYOND = { kind: 'beyond' } as const;

/** Reads a Range header against a resource of `size` bytes. Invalid and multiple ranges are ignored (14.2). */
export function readRange(header: string | null, size: number): RangeAnswer {
  const match = header === null ? null : SINGLE.exec(header);
  if (match === null) return WHOLE;
  const [, from = '', to = ''] = match;
  if (from === '') {
    if (to === '') return WHOLE;
    const length = Number(to);
    if (length === 0 || size === 0) return BEYOND;
    return { kind: 'part', first: Math.max(0, size - length), last: size - 1 };
  }
  const first = Number(from);
  const last = to === '' ? Infinity : Number(to);
  if (last < first) return WHOLE;
  if (first >= size) return BEYOND;
  return { kind: 'part', first, last: Math.min(last, size - 1) };
}
