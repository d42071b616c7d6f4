/**
 * Noncentral t and F: distribution functions and the noncentrality that puts an observed value at a given quantile,
 * from which limits of effect sizes come (Steiger & Fouladi 1997; Hedges 1981; Delacre et al. 2021).
 *
 * No kept library is right to 10⁻¹⁰ for large noncentrality, so both are computed here.
 *   t: P(T ≤ t) = ∫ Φ(t·s − δ) f(s) ds over s = χ_ν/√ν (Johnson, Kotz & Balakrishnan, Continuous Univariate
 *      Distributions 2, ch. 31), by Gauss–Legendre panels laid where the two factors change.
 *   F: P(F ≤ f) = Σ Poisson(j; λ/2)·I(x; df1/2 + j, df2/2) (ibid., ch. 30), summed downward from the largest j that
 *      counts, where every step of the recursion adds.
 */
import { incompleteBeta, logGamma, normalLower } from './distributions.ts';
import { rootAround, rootBetween } from './solve.ts';

/** Nodes and weights of the 16-point Gauss–Legendre rule on −1…1, positive half (Abramowitz & Stegun table 25.4). */
const NODES = [
  0.09501250983763744, 0.2816035507792589, 0.45801677765722737, 0.6178762444026438, 0.755404408355003,
  0.8656312023878318, 0.9445750230732326, 0.9894009349916499,
];
const WEIGHTS = [
  0.1894506104550685, 0.18260341504492358, 0.16915651939500254, 0.14959598881657674, 0.12462897125553388,
  0.09515851168249279, 0.062253523938647894, 0.027152459411754096,
];

/** Beyond this many standard deviations a normal tail is below the last digit of a double. */
const FAR = 9;

function integrate(f: (x: number) => number, from: number, to: number): number {
  const [middle, half] = [(from + to) / 2, (to - from) / 2];
  let sum = 0;
  for (let k = 0; k < NODES.length; k++) {
    const away = half * NODES[k]!;
    sum += WEIGHTS[k]! * (f(middle - away) + f(middle + away));
  }
  return sum * half;
}

/** Where the panels of the integral begin and end: fine where χ_ν/√ν lives and where the normal step is. */
function panelsOf(t: number, df: number, ncp: number): readonly number[] {
  const width = 1 / Math.sqrt(2 * df);
  const low = Math.max(0, 1 - 1.4 * FAR * width);
  const high = Math.sqrt(1 + (1.4 * FAR * Math.SQRT2) / Math.sqrt(df) + 100 / df);
  const places = new Set([low, high]);
  const pieces = Math.ceil((high - low) / (0.75 * width));
  for (let k = 1; k < pieces; k++) places.add(low + ((high - low) * k) / pieces);
  // A broken power of s at 0 asks for panels that shrink towards it.
  if (low === 0) for (let k = 1; k <= 14; k++) places.add((high / pieces) * 4 ** -k);
  if (t !== 0)
    for (let k = -FAR; k <= FAR; k++) {
      const place = (ncp + k) / t;
      if (place > low && place < high) places.add(place);
    }
  return [...places].sort((a, b) => a - b);
}

/**
 * P(T ≤ t) of the noncentral t distribution, a probability.
 * @param df > 0, whole or not; @param ncp noncentrality, any finite value. Absolute error below 10⁻¹³ from df = 1 on.
 */
export function noncentralT(t: number, df: number, ncp: number): number {
  // Density of s = χ_ν/√ν.
  const constant = Math.LN2 + (df / 2) * Math.log(df / 2) - logGamma(df / 2);
  const density = (s: number) =>
    s <= 0 ? 0 : Math.exp(constant + (df - 1) * Math.log(s) - (df * s * s) / 2);
  const places = panelsOf(t, df, ncp);
  let sum = 0;
  for (let k = 1; k < places.length; k++)
    sum += integrate((s) => normalLower(t * s - ncp) * density(s), places[k - 1]!, places[k]!);
  return Math.min(1, sum);
}

/**
 * The noncentrality δ under which P(T ≤ t) is `probability`; it falls as `probability` rises.
 * Null where it is beyond any number that would mean something.
 */
export function noncentralityOfT(t: number, df: number, probability: number): number | null {
  const step = 0.5 + Math.abs(t) / Math.sqrt(2 * df);
  return rootAround((ncp) => noncentralT(t, df, ncp) - probability, t, step, 1e6 * step);
}

/** Above this λ, √χ² is normal to 10⁻⁹, and the noncentral F is a noncentral t in disguise. */
const LARGE = 1e6;

/**
 * P(F ≤ f) of the noncentral F distribution, a probability.
 * @param ncp λ ≥ 0. Absolute error below 10⁻¹² for λ up to 10⁶, relative error of λ below 10⁻⁹ above.
 */
export function noncentralF(f: number, df1: number, df2: number, ncp: number): number {
  if (f <= 0) return 0;
  if (ncp === 0) return incompleteBeta((df1 * f) / (df1 * f + df2), df1 / 2, df2 / 2);
  if (ncp > LARGE) return noncentralT(Math.sqrt(df1 * f), df2, Math.sqrt(ncp + df1 - 1));
  const rate = ncp / 2;
  const reach = 40 + FAR * 1.4 * Math.sqrt(rate);
  const [first, last] = [Math.max(0, Math.floor(rate - reach)), Math.ceil(rate + reach)];
  const x = (df1 * f) / (df1 * f + df2);
  const rest = df2 / (df1 * f + df2);
  const b = df2 / 2;
  let a = df1 / 2 + last;
  let cumulative = incompleteBeta(x, a, b);
  // T(a) = x^a (1 − x)^b / (a B(a, b)) = I(x; a, b) − I(x; a + 1, b), as its logarithm: a small x has powers below any double.
  let logStep = a * Math.log(x) + b * Math.log(rest) + logGamma(a + b) - logGamma(a + 1) - logGamma(b);
  let weight = Math.exp(last * Math.log(rate) - rate - logGamma(last + 1));
  let [sum, weights] = [0, 0];
  for (let j = last; j >= first; j--) {
    sum += weight * cumulative;
    weights += weight;
    weight *= j / rate;
    logStep += Math.log(a / ((a + b - 1) * x));
    a -= 1;
    cumulative = Math.min(1, cumulative + Math.exp(logStep));
  }
  return sum / weights;
}

/** The noncentrality λ ≥ 0 under which P(F ≤ f) is `probability`; 0 where it would be below 0. */
export function noncentralityOfF(f: number, df1: number, df2: number, probability: number): number {
  const above = (ncp: number) => noncentralF(f, df1, df2, ncp) - probability;
  if (above(0) <= 0) return 0;
  let high = df1 * f + 10;
  while (above(high) > 0) high *= 2;
  return rootBetween(above, 0, high);
}
