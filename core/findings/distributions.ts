/**
 * Tails and quantiles of the distributions that the tests use. Tails come straight from the incomplete beta and gamma
 * functions of @stdlib, so that a small p keeps its digits (checked against R to 10⁻¹² relative). Definitions: Abramowitz
 * & Stegun 1964, chapters 6 and 26. Probabilities lie in 0…1.
 */
import betainc from '@stdlib/math-base-special-betainc';
import erfc from '@stdlib/math-base-special-erfc';
import gammainc from '@stdlib/math-base-special-gammainc';
import gammaln from '@stdlib/math-base-special-gammaln';
import chiSquare from '@stdlib/stats-base-dists-chisquare-quantile';
import normal from '@stdlib/stats-base-dists-normal-quantile';
import studentQuantile from '@stdlib/stats-base-dists-t-quantile';

/** Logarithm of the gamma function, argument > 0. */
export const logGamma: (x: number) => number = gammaln;

/** I(x; a, b), the regularised incomplete beta function, a probability; 0 ≤ x ≤ 1, a and b > 0. */
export function incompleteBeta(x: number, a: number, b: number): number {
  return betainc(x, a, b);
}

/** P(|T| ≥ |t|) of Student's t, 0…1; t finite, df > 0. */
export function tTwoSided(t: number, df: number): number {
  // Near t = 0 the complement keeps the digits.
  const square = t * t;
  return square < df
    ? betainc(square / (df + square), 0.5, df / 2, true, true)
    : betainc(df / (df + square), df / 2, 0.5);
}

/** P(T ≥ t) of Student's t, a probability; df > 0. */
export function tUpper(t: number, df: number): number {
  const half = tTwoSided(t, df) / 2;
  return t >= 0 ? half : 1 - half;
}

/** P(F ≥ f) of Snedecor's F, a probability; f ≥ 0. */
export function fUpper(f: number, df1: number, df2: number): number {
  return betainc(df2 / (df2 + df1 * f), df2 / 2, df1 / 2);
}

/** P(X ≥ x) of χ², a probability; x ≥ 0. */
export function chiSquareUpper(x: number, df: number): number {
  return gammainc(x / 2, df / 2, true, true);
}

/** P(Z ≤ z) of the standard normal distribution, a probability. */
export function normalLower(z: number): number {
  return erfc(-z / Math.SQRT2) / 2;
}

/** P(|Z| ≥ |z|) of the standard normal distribution, a probability. */
export function normalTwoSided(z: number): number {
  return erfc(Math.abs(z) / Math.SQRT2);
}

/** Quantile of the standard normal distribution, 0 < probability < 1. */
export function normalQuantile(probability: number): number {
  return normal(probability, 0, 1);
}

/** Quantile of χ² under a probability, dimensionless; 0 < probability < 1. */
export function chiSquareQuantile(probability: number, df: number): number {
  return chiSquare(probability, df);
}

/** Quantile of Student's t under a probability, dimensionless; df > 0, whole or not. */
export function tQuantile(probability: number, df: number): number {
  return studentQuantile(probability, df);
}
