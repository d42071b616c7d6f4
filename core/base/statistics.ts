/**
 * Statistics of general use: mean, median, least-squares line with its covariance, coverage factor.
 * Sources: JCGM 100:2008 (H.3 for the line, G.3 for coverage); NIST StRD Norris for the arithmetic.
 * Student's t and Snedecor's F come from @stdlib.
 */
import studentQuantile from '@stdlib/stats-base-dists-t-quantile';
import fisherQuantile from '@stdlib/stats-base-dists-f-quantile';

/** Arithmetic mean, in the unit of the values; null for an empty list. */
export function mean(values: readonly number[]): number | null {
  if (values.length === 0) return null;
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** Median (mean of the middle two for an even count), in the unit of the values; null for an empty list. */
export function median(values: Float64Array | readonly number[]): number | null {
  return medianInPlace(new Float64Array(values));
}

/** The same, in the unit of the values, of a list that may be put in another order. */
export function medianInPlace(list: Float64Array): number | null {
  const n = list.length;
  if (n === 0) return null;
  const half = n >> 1;
  // What is no number, and zeros of either sign, have places of their own in a sorted list alone.
  for (let i = 0; i < n; i++) if (Number.isNaN(list[i]!)) return sortedMedian(list);
  const upper = nthSmallest(list, half);
  if (upper === 0) return sortedMedian(list);
  if (n % 2 === 1) return upper;
  let lower = -Infinity;
  for (let i = 0; i < half; i++) if (list[i]! > lower) lower = list[i]!;
  return lower === 0 ? sortedMedian(list) : (lower + upper) / 2;
}

function sortedMedian(list: Float64Array): number {
  const sorted = list.sort();
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}

/**
 * The value that would stand at place k, counted from 0, were the list of numbers sorted; in the unit of the values. The
 * list is put in another order: nothing before place k is then larger. Selection after Hoare, Communications of the ACM
 * 4 (1961) 321.
 */
function nthSmallest(list: Float64Array, k: number): number {
  let [low, high] = [0, list.length - 1];
  while (low < high) {
    const pivot = list[(low + high) >> 1]!;
    let [i, j] = [low, high];
    while (i <= j) {
      while (list[i]! < pivot) i++;
      while (list[j]! > pivot) j--;
      if (i <= j) {
        const value = list[i]!;
        list[i++] = list[j]!;
        list[j--] = value;
      }
    }
    if (k <= j) high = j;
    else if (k >= i) low = i;
    else break;
  }
  return list[k]!;
}

/** A straight line y = intercept + slope·x by ordinary least squares, with standard uncertainties. */
export interface Line {
  readonly intercept: number;
  readonly slope: number;
  readonly n: number;
  /** Mean of x and Σ(x − mean)²: with `residualSd` they give every variance of the line. */
  readonly meanX: number;
  readonly sumSquaresX: number;
  /** Residual standard deviation on n − 2 degrees of freedom, unit of y; null below three points. */
  readonly residualSd: number | null;
  readonly interceptU: number | null;
  readonly slopeU: number | null;
  /** Correlation of intercept and slope; null below three points. */
  readonly correlation: number | null;
}

/**
 * Fits y = intercept + slope·x (JCGM 100 H.3). Arrays of equal length, n ≥ 2.
 * Returns null below two points or where all x are equal: there is no line.
 */
export function fitLine(x: readonly number[], y: readonly number[]): Line | null {
  const n = x.length;
  // The mean of equal values may differ from them by dust; their sum of squares is then no spread.
  if (n < 2 || y.length !== n || x.every((value) => value === x[0])) return null;
  const meanX = mean(x)!;
  const meanY = mean(y)!;
  let sxx = 0;
  let sxy = 0;
  for (let i = 0; i < n; i++) {
    sxx += (x[i]! - meanX) ** 2;
    sxy += (x[i]! - meanX) * (y[i]! - meanY);
  }
  if (!(sxx > 0) || !Number.isFinite(sxy)) return null;
  const slope = sxy / sxx;
  const intercept = meanY - slope * meanX;
  const bare = { intercept, slope, n, meanX, sumSquaresX: sxx };
  if (n < 3) return { ...bare, residualSd: null, interceptU: null, slopeU: null, correlation: null };
  let ssr = 0;
  for (let i = 0; i < n; i++) ssr += (y[i]! - meanY - slope * (x[i]! - meanX)) ** 2;
  const residualSd = Math.sqrt(ssr / (n - 2));
  const leverage = Math.sqrt(1 / n + meanX ** 2 / sxx);
  return {
    ...bare,
    residualSd,
    interceptU: residualSd * leverage,
    slopeU: residualSd / Math.sqrt(sxx),
    correlation: -meanX / Math.sqrt(sxx) / leverage,
  };
}

/**
 * The line's value at x and its standard uncertainty with the covariance of intercept and slope (JCGM 100 H.3.5);
 * both in the unit of y. The uncertainty is null below three points.
 */
export function predict(line: Line, x: number): { readonly value: number; readonly u: number | null } {
  const value = line.intercept + line.slope * x;
  if (line.residualSd === null) return { value, u: null };
  return { value, u: line.residualSd * Math.sqrt(1 / line.n + (x - line.meanX) ** 2 / line.sumSquaresX) };
}

/**
 * Two-sided coverage factor of Student's t (JCGM 100 G.3).
 * @param probability coverage, 0…1, such as 0.95
 * @param degreesOfFreedom > 0
 */
export function coverageFactor(probability: number, degreesOfFreedom: number): number {
  return studentQuantile((1 + probability) / 2, degreesOfFreedom);
}

/**
 * Quantile of Snedecor's F distribution.
 * @param probability cumulative, 0…1
 * @param numerator degrees of freedom > 0, not necessarily whole
 * @param denominator degrees of freedom > 0, not necessarily whole
 */
export function fQuantile(probability: number, numerator: number, denominator: number): number {
  return fisherQuantile(probability, numerator, denominator);
}

/** Sample standard deviation on n − 1 degrees of freedom, in the unit of the values; null below two values. */
export function standardDeviation(values: Float64Array | readonly number[]): number | null {
  const n = values.length;
  if (n < 2) return null;
  let sum = 0;
  for (const value of values) sum += value;
  const centre = sum / n;
  let squares = 0;
  for (const value of values) squares += (value - centre) ** 2;
  return Math.sqrt(squares / (n - 1));
}

/** One part of a combined uncertainty: its size in the unit of the result, and its degrees of freedom (∞ allowed). */
export interface UncertaintyPart {
  readonly u: number;
  readonly degreesOfFreedom: number;
}

/**
 * Effective degrees of freedom, dimensionless, of independent parts by the Welch–Satterthwaite formula (JCGM 100
 * G.4.1, G.2b). Infinite where no part with finite degrees of freedom counts.
 */
export function effectiveDegreesOfFreedom(parts: readonly UncertaintyPart[]): number {
  const variance = parts.reduce((sum, { u }) => sum + u * u, 0);
  const spread = parts.reduce((sum, { u, degreesOfFreedom }) => sum + u ** 4 / degreesOfFreedom, 0);
  return spread > 0 ? variance ** 2 / spread : Infinity;
}

/** Degrees of freedom beyond which Student's t is the normal distribution to eleven figures. */
const AS_GOOD_AS_NORMAL = 1e12;

/**
 * Coverage factor for effective degrees of freedom: cut down to the whole number below (JCGM 100 G.4.1, as in its
 * example H.1), the normal distribution's where they are infinite.
 * @param probability coverage, 0…1
 * @param effective ≥ 1, or ∞
 */
export function effectiveCoverageFactor(probability: number, effective: number): number {
  // Rounding in the formula must not cost a whole degree of freedom.
  const whole = effective < AS_GOOD_AS_NORMAL ? Math.floor(effective * (1 + 1e-9)) : AS_GOOD_AS_NORMAL;
  return coverageFactor(probability, whole);
}
