/**
 * Tests on means of two groups or of pairs: Welch 1947, Student 1908, two one-sided tests (Schuirmann 1987). Effects
 * with the exact small-sample factor of Hedges 1981; for unequal variances after Delacre et al. 2021. Limits of an
 * effect from the noncentral t. Values in the unit of the outcome.
 */
import { logGamma, tQuantile, tTwoSided, tUpper } from './distributions.ts';
import { isDust, momentsOf, type Moments } from './moments.ts';
import { noncentralityOfT } from './noncentral.ts';
import { done } from '../base/refusal.ts';
import { noAnswer, term, type Answer, type Group, type Limits } from './term.ts';

/** J(m) = Γ(m/2) / (√(m/2)·Γ((m − 1)/2)), the exact factor that takes the bias from a standardised mean; 0 at m = 1. */
export function hedgesFactor(m: number): number {
  return m <= 1 ? 0 : Math.exp(logGamma(m / 2) - logGamma((m - 1) / 2)) / Math.sqrt(m / 2);
}

/** Limits of an effect that is λ times a factor, λ from an observed t. */
function effectLimits(t: number, df: number, factor: number, confidence: number): Limits | null {
  const tail = (1 - confidence) / 2;
  const low = noncentralityOfT(t, df, 1 - tail);
  const high = noncentralityOfT(t, df, tail);
  return low === null || high === null ? null : { low: low * factor, high: high * factor };
}

/** Limits at one distance on both sides of a centre, in its unit. */
export function around(centre: number, reach: number): Limits {
  return { low: centre - reach, high: centre + reach };
}

interface Pair {
  readonly first: Moments;
  readonly second: Moments;
  readonly difference: number;
}

/** Moments of two groups; a sentence where one is too small. */
function pairOf(first: Group, second: Group): Pair | string {
  const small = [first, second].find(({ values }) => values.length < 2);
  if (small !== undefined)
    return `The group "${small.name}" has ${small.values.length === 0 ? 'no swimmer' : 'one swimmer'}; this test needs two in each group.`;
  const [a, b] = [momentsOf(first.values), momentsOf(second.values)];
  return { first: a, second: b, difference: a.mean - b.mean };
}

const NO_SPREAD = 'The values within the groups do not differ; the test divides by their spread.';

function hasSpread(se: number, first: Group, second: Group): boolean {
  return !isDust(se, first.values) || !isDust(se, second.values);
}

/** Welch's standard error and degrees of freedom (Satterthwaite 1946). */
function welchError({ first, second }: Pair): { readonly se: number; readonly df: number } {
  const [a, b] = [first.variance! / first.n, second.variance! / second.n];
  return {
    se: Math.sqrt(a + b),
    df: (a + b) ** 2 / (a ** 2 / (first.n - 1) + b ** 2 / (second.n - 1)),
  };
}

/** Welch's t test of two independent groups: first − second. */
export function welch(first: Group, second: Group, confidence: number): Answer {
  const pair = pairOf(first, second);
  if (typeof pair === 'string') return noAnswer(pair);
  const { se, df } = welchError(pair);
  if (!hasSpread(se, first, second)) return noAnswer(NO_SPREAD);
  const { first: a, second: b, difference } = pair;
  const [va, vb] = [a.variance!, b.variance!];
  const s = Math.sqrt((va + vb) / 2);
  const dfOfS = ((a.n - 1) * (b.n - 1) * (va + vb) ** 2) / ((b.n - 1) * va ** 2 + (a.n - 1) * vb ** 2);
  const factor = hedgesFactor(dfOfS);
  const t = difference / se;
  return done([
    term({
      statistic: t,
      df1: df,
      p: tTwoSided(t, df),
      effect: {
        name: 'hedges_g',
        value: (factor * difference) / s,
        limits: effectLimits(t, df, (factor * se) / s, confidence),
      },
      estimate: difference,
      limits: around(difference, tQuantile((1 + confidence) / 2, df) * se),
    }),
  ]);
}

/** Student's t test with a pooled variance: first − second. */
export function student(first: Group, second: Group, confidence: number): Answer {
  const pair = pairOf(first, second);
  if (typeof pair === 'string') return noAnswer(pair);
  const { first: a, second: b, difference } = pair;
  const df = a.n + b.n - 2;
  const s = Math.sqrt((a.squares + b.squares) / df);
  const root = Math.sqrt(1 / a.n + 1 / b.n);
  const se = s * root;
  if (!hasSpread(se, first, second)) return noAnswer(NO_SPREAD);
  const factor = hedgesFactor(df);
  const t = difference / se;
  return done([
    term({
      statistic: t,
      df1: df,
      p: tTwoSided(t, df),
      effect: {
        name: 'hedges_g',
        value: (factor * difference) / s,
        limits: effectLimits(t, df, factor * root, confidence),
      },
      estimate: difference,
      limits: around(difference, tQuantile((1 + confidence) / 2, df) * se),
    }),
  ]);
}

/** Two one-sided Welch tests that the difference lies within ± margin; limits at 1 − 2α. */
export function equivalence(first: Group, second: Group, margin: number, confidence: number): Answer {
  const pair = pairOf(first, second);
  if (typeof pair === 'string') return noAnswer(pair);
  const { se, df } = welchError(pair);
  if (!hasSpread(se, first, second)) return noAnswer(NO_SPREAD);
  const { difference } = pair;
  const [above, below] = [(difference + margin) / se, (difference - margin) / se];
  return done([
    term({
      statistic: Math.abs(above) <= Math.abs(below) ? above : below,
      df1: df,
      p: Math.max(tUpper(above, df), tUpper(-below, df)),
      estimate: difference,
      limits: around(difference, tQuantile(confidence, df) * se),
    }),
  ]);
}

/** Student's t test on differences of pairs, first − second. */
export function paired(first: readonly number[], second: readonly number[], confidence: number): Answer {
  const n = first.length;
  if (n < 2) return noAnswer(`There ${n === 1 ? 'is one pair' : 'is no pair'}; the test needs two.`);
  const differences = first.map((value, k) => value - second[k]!);
  const { mean, sd } = momentsOf(differences);
  const se = sd! / Math.sqrt(n);
  if (isDust(sd!, [...first, ...second]))
    return noAnswer('The differences of the pairs are all the same; the test divides by their spread.');
  const t = mean / se;
  const factor = hedgesFactor(n - 1);
  return done([
    term({
      statistic: t,
      df1: n - 1,
      p: tTwoSided(t, n - 1),
      effect: {
        name: 'hedges_g_z',
        value: (factor * mean) / sd!,
        limits: effectLimits(t, n - 1, factor / Math.sqrt(n), confidence),
      },
      estimate: mean,
      limits: around(mean, tQuantile((1 + confidence) / 2, n - 1) * se),
    }),
  ]);
}
