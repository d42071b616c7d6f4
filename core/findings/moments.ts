/**
 * Mean, spread and quantiles of a list of numbers, good to the last digits also where values share many leading ones
 * (NIST StRD, the NumAcc and SmLs sets).
 */

export interface Moments {
  readonly n: number;
  readonly mean: number;
  /** Σ(x − mean)², unit squared. */
  readonly squares: number;
  /** On n − 1 degrees of freedom; null below two values. */
  readonly variance: number | null;
  readonly sd: number | null;
}

/** 2²⁷ + 1, which splits a double in two halves whose products are exact (Dekker 1971). */
const SPLITTER = 134217729;

/** a × b less the double nearest to it, exactly. */
function productRest(a: number, b: number, product: number): number {
  const [ca, cb] = [SPLITTER * a, SPLITTER * b];
  const [ha, hb] = [ca - (ca - a), cb - (cb - b)];
  const [la, lb] = [a - ha, b - hb];
  return la * lb - (product - ha * hb - la * hb - ha * lb);
}

/**
 * Arithmetic mean of n ≥ 1 finite values, in their unit, rounded once: whatever the order of the values, equal means are equal
 * doubles, so that ties stay ties. (Sum with its rounding errors kept: Neumaier 1974.)
 */
export function meanOf(values: readonly number[]): number {
  const n = values.length;
  let sum = 0;
  let lost = 0;
  for (const value of values) {
    const next = sum + value;
    lost += Math.abs(sum) >= Math.abs(value) ? sum - next + value : value - next + sum;
    sum = next;
  }
  const whole = sum + lost;
  const low = lost - (whole - sum);
  const mean = whole / n;
  const product = mean * n;
  return mean + (whole - product - productRest(mean, n, product) + low) / n;
}

/** Moments of n ≥ 1 finite values. */
export function momentsOf(values: readonly number[]): Moments {
  const n = values.length;
  const mean = meanOf(values);
  let squares = 0;
  let rest = 0;
  for (const value of values) {
    const away = value - mean;
    squares += away * away;
    rest += away;
  }
  squares = Math.max(0, squares - (rest * rest) / n);
  const variance = n < 2 ? null : squares / (n - 1);
  return { n, mean, squares, variance, sd: variance === null ? null : Math.sqrt(variance) };
}

/** Spread that is nothing but the rounding of values of this size. */
const DUST = 10 * Number.EPSILON;

/** True where a spread (an SD or a standard error) is no spread at all beside the size of the values. */
export function isDust(spread: number, values: readonly number[]): boolean {
  let size = 0;
  for (const value of values) size = Math.max(size, Math.abs(value));
  return !(spread > DUST * size);
}

/**
 * Quantile by linear interpolation (Hyndman & Fan 1996, type 7; R's default).
 * @param sorted ascending, n ≥ 1; @param probability 0…1
 */
export function quantileOf(sorted: Float64Array | readonly number[], probability: number): number {
  const place = (sorted.length - 1) * probability;
  const below = Math.floor(place + 4 * Number.EPSILON * place);
  const part = Math.max(0, place - below);
  const low = sorted[below]!;
  return part === 0 ? low : low + part * (sorted[Math.min(below + 1, sorted.length - 1)]! - low);
}

/** The middle of a list in ascending order, in its unit, n ≥ 1: mean of the middle two for an even count. */
export function middleOf(sorted: Float64Array | readonly number[]): number {
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}
