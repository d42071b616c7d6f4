/** The acceptance rules as the form shows them. */
import type { ContentLimits } from '../../../core/protocol/content.ts';

export interface Limit {
  readonly name: keyof ContentLimits;
  readonly label: string;
  readonly unit: string;
  /** What is shown for 1 of the protocol's own unit. */
  readonly scale: number;
  /** What a rule begins with when it is applied (common practice, no source). */
  readonly first: number;
}

export const LIMITS: readonly Limit[] = [
  { name: 'minStrokesPerHand', label: 'Strokes per hand, at least', unit: 'strokes', scale: 1, first: 3 },
  { name: 'maxGapMs', label: 'Longest gap in the section', unit: 'ms', scale: 1, first: 50 },
  {
    name: 'maxSaturatedFraction',
    label: 'Samples at the end of the range, at most',
    unit: '%',
    scale: 100,
    first: 0.5,
  },
  { name: 'maxZeroShiftKpa', label: 'Shift of the zero, at most', unit: 'kPa', scale: 1, first: 0.1 },
  {
    name: 'maxCheckDeviationKpa',
    label: 'Deviation of a known pressure, at most',
    unit: 'kPa',
    scale: 1,
    first: 0.3,
  },
];

/** A rule's limit in the unit of the form; null where it is not applied. */
export function limitShown(accept: ContentLimits, { name, scale }: Limit): number | null {
  const value = accept[name];
  return value === null ? null : Number((scale * value).toPrecision(12));
}

/** The rules with one set, `value` in the unit of the form. */
export function limitPart<T extends ContentLimits>(
  accept: T,
  { name, scale }: Limit,
  value: number | null,
): T {
  return { ...accept, [name]: value === null ? null : Number((value / scale).toPrecision(12)) };
}
