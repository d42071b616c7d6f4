/**
 * Correlation and straight line: Pearson with Fisher's z (1921), Spearman on mean ranks, least squares. `x` and `y` of
 * equal length; estimates in the unit of y (intercept) and of y over x (slope).
 */
import { normalQuantile, tQuantile, tTwoSided } from './distributions.ts';
import { isDust, momentsOf } from './moments.ts';
import { meanRanks } from './ranks.ts';
import { around } from './ttests.ts';
import { done } from '../base/refusal.ts';
import { noAnswer, term, type Answer } from './term.ts';

interface Products {
  readonly n: number;
  readonly meanX: number;
  readonly meanY: number;
  readonly xx: number;
  readonly yy: number;
  readonly xy: number;
  /** Σ of squared residuals of y on x. */
  readonly rest: number;
}

/** Sums of products; a sentence where there are too few values or one side does not differ. */
function productsOf(x: readonly number[], y: readonly number[]): Products | string {
  const n = x.length;
  if (n < 3)
    return `There ${n === 1 ? 'is one swimmer' : `are ${n} swimmers`} with both values; this test needs three.`;
  const [mx, my] = [momentsOf(x), momentsOf(y)];
  if (isDust(mx.sd!, x))
    return 'The values that it is held against do not differ; the test divides by their spread.';
  if (isDust(my.sd!, y)) return 'The values of the outcome do not differ; the test divides by their spread.';
  let xy = 0;
  for (let k = 0; k < n; k++) xy += (x[k]! - mx.mean) * (y[k]! - my.mean);
  const slope = xy / mx.squares;
  let rest = 0;
  for (let k = 0; k < n; k++) rest += (y[k]! - my.mean - slope * (x[k]! - mx.mean)) ** 2;
  if (isDust(Math.sqrt(rest / (n - 2)), y))
    return 'The points lie on a straight line without any scatter; the test divides by their scatter.';
  return { n, meanX: mx.mean, meanY: my.mean, xx: mx.squares, yy: my.squares, xy, rest };
}

/** t of a correlation on n − 2 degrees of freedom, from what the line leaves over, which keeps the digits near |r| = 1. */
function tOf({ n, xx, xy, rest }: Products): number {
  return xy / Math.sqrt((xx * rest) / (n - 2));
}

/** Pearson's correlation; limits from Fisher's z, none below four pairs of values. */
export function pearson(x: readonly number[], y: readonly number[], confidence: number): Answer {
  const sums = productsOf(x, y);
  if (typeof sums === 'string') return noAnswer(sums);
  const { n, xx, yy, xy } = sums;
  const r = xy / Math.sqrt(xx * yy);
  const t = tOf(sums);
  const reach = normalQuantile((1 + confidence) / 2) / Math.sqrt(n - 3);
  const z = Math.atanh(r);
  return done([
    term({
      statistic: t,
      df1: n - 2,
      p: tTwoSided(t, n - 2),
      effect: {
        name: 'r',
        value: r,
        limits: n < 4 ? null : { low: Math.tanh(z - reach), high: Math.tanh(z + reach) },
      },
    }),
  ]);
}

/** Spearman's correlation: Pearson's of the mean ranks. */
export function spearman(x: readonly number[], y: readonly number[]): Answer {
  const sums = productsOf(meanRanks(x), meanRanks(y));
  if (typeof sums === 'string') return noAnswer(sums.replace('values', 'ranks of the values'));
  const { n, xx, yy, xy } = sums;
  const t = tOf(sums);
  return done([
    term({
      statistic: t,
      df1: n - 2,
      p: tTwoSided(t, n - 2),
      effect: { name: 'rho', value: xy / Math.sqrt(xx * yy), limits: null },
    }),
  ]);
}

/** A fitted line with what its limits and band are drawn from. */
export interface FittedLine {
  readonly intercept: number;
  readonly slope: number;
  readonly residualSd: number;
  readonly n: number;
  readonly meanX: number;
  readonly xx: number;
}

/** The least-squares line; a sentence where there is none. */
export function lineOf(x: readonly number[], y: readonly number[]): FittedLine | string {
  const sums = productsOf(x, y);
  if (typeof sums === 'string') return sums;
  const { n, meanX, meanY, xx, xy, rest } = sums;
  const slope = xy / xx;
  return { intercept: meanY - slope * meanX, slope, residualSd: Math.sqrt(rest / (n - 2)), n, meanX, xx };
}

/** Straight line of the outcome on another column: intercept and slope. */
export function regression(x: readonly number[], y: readonly number[], confidence: number): Answer {
  const sums = productsOf(x, y);
  if (typeof sums === 'string') return noAnswer(sums);
  const line = lineOf(x, y) as FittedLine;
  const { n, yy, rest } = sums;
  const df = n - 2;
  const row = (name: string, estimate: number, se: number) => {
    const t = estimate / se;
    return term({
      term: name,
      statistic: t,
      df1: df,
      p: tTwoSided(t, df),
      estimate,
      limits: around(estimate, tQuantile((1 + confidence) / 2, df) * se),
    });
  };
  return done([
    row('intercept', line.intercept, line.residualSd * Math.sqrt(1 / n + line.meanX ** 2 / line.xx)),
    {
      ...row('slope', line.slope, line.residualSd / Math.sqrt(line.xx)),
      effect: { name: 'r_squared', value: 1 - rest / yy, limits: null },
    },
  ]);
}
