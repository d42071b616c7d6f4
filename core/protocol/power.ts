/**
 * Power of the t tests that a number of swimmers is planned for: two independent groups with one SD (Student, pooled),
 * or pairs. Under the expected difference the test's t follows the noncentral t distribution:
 *   two groups: df = n₁ + n₂ − 2, ncp = difference / (SD √(1/n₁ + 1/n₂))
 *   pairs:      df = n − 1,       ncp = difference / SD of the differences × √n
 * (Cohen, Statistical Power Analysis for the Behavioral Sciences, 2nd ed., 2; R's power.t.test as the check.)
 *
 * The noncentral t comes from a library and is good to 2·10⁻⁸ for ncp up to 20, from which its series is cut short.
 * Above, power is told only where it is 1 for every purpose: it rises with ncp, so that of 20 is its lower bound.
 */
// @ts-expect-error The package brings no types; what is used of it is stated below.
import jstat from 'jstat';
import type { PlannedComparison } from './content.ts';
import { type Outcome, failed, done } from '../base/refusal.ts';
import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import { figures } from '../base/words.ts';

const { noncentralt }: { noncentralt: { cdf: (t: number, df: number, ncp: number) => number } } = jstat;

const MOST_NCP = 20;

/** Beyond this ncp a t on the other side of 0 is rarer than 10⁻¹⁵. */
const MOST_NCP_OF_OTHER_TAIL = 8;

const AS_GOOD_AS_CERTAIN = 1 - 1e-8;

const LEAST_SWIMMERS = 2;

const MOST_SWIMMERS = 1000;

export interface PowerFault {
  readonly code: 'unusable_comparison' | 'unusable_power' | 'too_many_swimmers' | 'not_computed';
  readonly says: string;
  readonly todo: string;
}

export interface Power {
  /** Probability that the test finds the expected difference, 0…1. */
  readonly power: number;
  readonly df: number;
  /** Noncentrality: the expected difference over its standard error. */
  readonly ncp: number;
}

/**
 * Power of the planned comparison.
 * @param comparison `first` and `second` may be broken numbers, as a formula solved for n gives them
 * @param tails of a two-sided test: `both` counts a rejection in either direction, as R with strict = TRUE; `expected`
 * only that in the direction of the difference, as R does by default. They differ where power is near alpha.
 */
export function powerOf(
  comparison: PlannedComparison,
  tails: 'both' | 'expected' = 'both',
): Outcome<Power, PowerFault> {
  const { kind, first, second, difference, sd, alpha, sides } = comparison;
  const numbers = kind === 'paired' ? [first] : [first, second];
  if (
    !numbers.every((n) => n >= LEAST_SWIMMERS && Number.isFinite(n)) ||
    !(difference > 0 && Number.isFinite(difference) && sd > 0 && Number.isFinite(sd)) ||
    !(alpha > 0 && alpha < 0.5)
  )
    return failed({
      code: 'unusable_comparison',
      says: 'Power needs 2 swimmers or more per group, a difference and an SD above 0, and an alpha between 0 and 0.5.',
      todo: 'Correct the numbers of the planned comparison.',
    });
  const df = kind === 'paired' ? first - 1 : first + second - 2;
  const perSd = kind === 'paired' ? Math.sqrt(first) : 1 / Math.sqrt(1 / first + 1 / second);
  const ncp = (difference / sd) * perSd;
  const critical = tQuantile(1 - (sides === 'two' ? alpha / 2 : alpha), df);
  const above = 1 - noncentralt.cdf(critical, df, Math.min(ncp, MOST_NCP));
  if (ncp > MOST_NCP && above < AS_GOOD_AS_CERTAIN)
    return failed({
      code: 'not_computed',
      says: `The expected difference is ${figures(ncp)} times its standard error on ${figures(df)} degrees of freedom; power is not computed that far out.`,
      todo: 'Check the difference and the SD (same unit?), or plan more swimmers.',
    });
  const other =
    sides === 'two' && tails === 'both' && ncp < MOST_NCP_OF_OTHER_TAIL
      ? noncentralt.cdf(-critical, df, ncp)
      : 0;
  return done({ power: ncp > MOST_NCP ? 1 : Math.min(1, Math.max(0, above + other)), df, ncp });
}

/**
 * Power against the number of swimmers per group, or of pairs: both groups have that size.
 * @param sizes whole numbers from 2
 * @returns one point for each size; power null where it is not computed (`powerOf` says why)
 */
export function powerCurve(
  comparison: PlannedComparison,
  sizes: readonly number[],
): readonly { readonly size: number; readonly power: number | null }[] {
  return sizes.map((size) => ({ size, power: powerAt(comparison, size) }));
}

function powerAt(comparison: PlannedComparison, size: number): number | null {
  const power = powerOf({ ...comparison, first: size, second: size });
  return power.ok ? power.value.power : null;
}

/**
 * The smallest number of swimmers per group (groups of one size), or of pairs, that has the wanted power.
 * @param wantedPower between 0 and 1, such as 0.8
 */
export function swimmersFor(
  comparison: PlannedComparison,
  wantedPower: number,
): Outcome<{ readonly swimmers: number; readonly power: number }, PowerFault> {
  if (!(wantedPower > 0 && wantedPower < 1))
    return failed({
      code: 'unusable_power',
      says: 'The wanted power must lie between 0 and 1.',
      todo: 'Give a power such as 0.8.',
    });
  const usable = powerOf({ ...comparison, first: MOST_SWIMMERS, second: MOST_SWIMMERS });
  if (!usable.ok) return usable;
  if (usable.value.power < wantedPower)
    return failed({
      code: 'too_many_swimmers',
      says: `Even ${MOST_SWIMMERS} swimmers per group have a power of ${figures(usable.value.power)} only, below ${figures(wantedPower)}.`,
      todo: 'Plan for a larger difference, a smaller spread (more attempts per swimmer), or less power.',
    });
  // Power rises with the number of swimmers.
  let [below, enough] = [LEAST_SWIMMERS - 1, MOST_SWIMMERS];
  while (enough - below > 1) {
    const middle = Math.floor((below + enough) / 2);
    if ((powerAt(comparison, middle) ?? 0) >= wantedPower) enough = middle;
    else below = middle;
  }
  return done({ swimmers: enough, power: powerAt(comparison, enough)! });
}
