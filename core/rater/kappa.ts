/**
 * Agreement of two raters on categories beyond chance: Cohen's kappa (Cohen 1960, Educ Psychol Meas 20:37–46) and
 * weighted kappa (Cohen 1968, Psychol Bull 70:213–220), with the large-sample standard error of Fleiss, Cohen &
 * Everitt 1969, Psychol Bull 72:323–327. Used for entry position: above, level, below, in this order.
 */
import type { Limits, NoAgreement } from './agreement.ts';
import { type Outcome, failed, done } from '../base/refusal.ts';
import { effectiveCoverageFactor } from '../base/statistics.ts';

/**
 * How much a disagreement counts: `none`, all alike; `linear`, by the number of categories between; `quadratic`, by
 * its square.
 */
export type KappaWeights = 'none' | 'linear' | 'quadratic';

/** Agreement on categories, dimensionless: 1 whole agreement, 0 what chance gives, below 0 less than that. */
export interface Kappa {
  readonly pairs: number;
  readonly value: number;
  /** Standard error for a kappa that is not 0; null where the raters never disagree, for it would come out as 0. */
  readonly u: number | null;
  /** 95 % confidence limits of the normal distribution, cut off at −1 and 1; null without a standard error. */
  readonly limits: Limits | null;
  /** Share of the weighted agreement that was seen, and that chance alone would give, 0…1. */
  readonly observed: number;
  readonly byChance: number;
}

/**
 * Counts of pairs: rows by the first rater's category, columns by the second's, in the order of `categories`.
 * Every judgement must be one of the categories.
 */
export function crossTable<T>(
  pairs: readonly (readonly [T, T])[],
  categories: readonly T[],
): readonly (readonly number[])[] {
  const table = categories.map(() => categories.map(() => 0));
  for (const [first, second] of pairs) table[categories.indexOf(first)]![categories.indexOf(second)]! += 1;
  return table;
}

/**
 * Kappa of a square table of counts.
 * @param table rows by the first rater, columns by the second, the categories in their order
 * Fails with a reason where there is no pair, or where both raters used the same one category for everything.
 */
export function kappaOf(
  table: readonly (readonly number[])[],
  weights: KappaWeights,
): Outcome<Kappa, NoAgreement> {
  const size = table.length;
  const n = sum(table.map(sum));
  if (n === 0) return failed({ code: 'too_few', says: 'No stroke has an entry position from both raters.' });
  const share = table.map((row) => row.map((count) => count / n));
  const rows = share.map(sum);
  const columns = share.map((_, j) => sum(share.map((row) => row[j]!)));
  const weight = (i: number, j: number) => weightOf(weights, Math.abs(i - j), size);
  const over = (term: (i: number, j: number) => number) =>
    sum(share.map((row, i) => sum(row.map((_, j) => term(i, j)))));
  const observed = over((i, j) => weight(i, j) * share[i]![j]!);
  const byChance = over((i, j) => weight(i, j) * rows[i]! * columns[j]!);
  if (table.some((row, i) => row[i] === n))
    return failed({
      code: 'one_category',
      says: 'Both raters gave the same entry position to every stroke; chance would agree as well, so kappa says nothing.',
    });
  if (table.every((row, i) => row.every((count, j) => i === j || count === 0)))
    return done({ pairs: n, value: 1, u: null, limits: null, observed: 1, byChance });
  const value = (observed - byChance) / (1 - byChance);
  const rowWeight = rows.map((_, i) => sum(columns.map((part, j) => part * weight(i, j))));
  const columnWeight = columns.map((_, j) => sum(rows.map((part, i) => part * weight(i, j))));
  const left = 1 - value;
  const square = over(
    (i, j) => share[i]![j]! * (weight(i, j) - (rowWeight[i]! + columnWeight[j]!) * left) ** 2,
  );
  const variance = (square - (value - byChance * left) ** 2) / (n * (1 - byChance) ** 2);
  // A variance of 0 leaves dust on either side of it.
  const u = Math.sqrt(Math.max(0, variance));
  const reach = effectiveCoverageFactor(0.95, Infinity) * u;
  const limits = { lower: Math.max(-1, value - reach), upper: Math.min(1, value + reach) };
  return done({ pairs: n, value, u, limits, observed, byChance });
}

function weightOf(weights: KappaWeights, apart: number, size: number): number {
  if (weights === 'none') return apart === 0 ? 1 : 0;
  const part = apart / (size - 1);
  return 1 - (weights === 'linear' ? part : part * part);
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
