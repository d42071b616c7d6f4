/** Each group of a comparison in numbers: groups.csv. Unit: that of the outcome. */
import { tQuantile } from './distributions.ts';
import { momentsOf, quantileOf } from './moments.ts';

export interface GroupSummary {
  readonly group: string;
  readonly n: number;
  readonly mean: number | null;
  readonly sd: number | null;
  readonly median: number | null;
  readonly q1: number | null;
  readonly q3: number | null;
  readonly min: number | null;
  readonly max: number | null;
  /** Confidence limits of the mean by t; null below two values and where units are trials of the same swimmers. */
  readonly meanLow: number | null;
  readonly meanHigh: number | null;
}

/** @param confidence null where units are trials, whose mean has no limits */
export function summarise(group: string, values: readonly number[], confidence: number | null): GroupSummary {
  const bare = { group, n: values.length };
  if (values.length === 0) return { ...bare, ...NOTHING };
  const { n, mean, sd } = momentsOf(values);
  const sorted = Float64Array.from(values).sort();
  const half =
    confidence === null || sd === null ? null : (tQuantile((1 + confidence) / 2, n - 1) * sd) / Math.sqrt(n);
  return {
    ...bare,
    mean,
    sd,
    median: quantileOf(sorted, 0.5),
    q1: quantileOf(sorted, 0.25),
    q3: quantileOf(sorted, 0.75),
    min: sorted[0]!,
    max: sorted.at(-1)!,
    meanLow: half === null ? null : mean - half,
    meanHigh: half === null ? null : mean + half,
  };
}

const NOTHING = {
  mean: null,
  sd: null,
  median: null,
  q1: null,
  q3: null,
  min: null,
  max: null,
  meanLow: null,
  meanHigh: null,
} as const;

/** A group that is only counted. */
export function countOnly(group: string, n: number): GroupSummary {
  return { group, n, ...NOTHING };
}
