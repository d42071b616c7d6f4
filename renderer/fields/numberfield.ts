/** Numbers as they are typed: read as files are, with a point or a comma, `1e3` too; blank for none. */
import { parseNumber } from '../../core/base/table.ts';

export type Bound = 'any' | 'positive' | 'notNegative' | 'count' | 'latitude';

/** What a field's text says: a value, nothing, or why it is neither. */
export type Typed =
  { readonly ok: true; readonly value: number | null } | { readonly ok: false; readonly says: string };

export function readTyped(text: string, bound: Bound = 'any', needed = false): Typed {
  const trimmed = text.trim().replace('\u2212', '-');
  if (trimmed === '') return needed ? { ok: false, says: 'It takes a number.' } : { ok: true, value: null };
  const value = parseNumber(trimmed);
  if (value === null) return { ok: false, says: `“${trimmed}” is not a number; write it like 12.5.` };
  if (bound === 'positive' && !(value > 0)) return { ok: false, says: 'It must be above 0.' };
  if (bound === 'notNegative' && value < 0) return { ok: false, says: 'It must be 0 or more.' };
  if (bound === 'count' && !(Number.isInteger(value) && value > 0))
    return { ok: false, says: 'It must be a whole number from 1.' };
  if (bound === 'latitude' && Math.abs(value) > 90)
    return { ok: false, says: 'A latitude lies from −90 to 90°; south is negative.' };
  return { ok: true, value };
}

/** What a field holds; null where it is empty, or holds what it does not take. */
export function typedNumber(text: string, bound: Bound = 'any'): number | null {
  const typed = readTyped(text, bound);
  return typed.ok ? typed.value : null;
}

/** A value as a field shows it; what floating point adds in the last digits is left away. */
export function typedText(value: number | null): string {
  return value === null ? '' : String(Number(value.toPrecision(12)));
}
