/**
 * Zero-lag Butterworth low-pass: forward and backward over the whole series.
 * The single-pass cutoff is corrected on the tangent (warped) frequency so that both passes together have the
 * gain 1/√2 at the cutoff (Winter, Biomechanics and Motor Control of Human Movement, 4th ed.; Robertson et al.,
 * Research Methods in Biomechanics, 2nd ed.). Edges: odd extension of 3·(order + 1) samples, steady-state initial
 * conditions. Second-order sections keep high orders stable.
 */
import { Scratch, takeSeries } from '../base/series.ts';

/** One section of the filter: numerator b0…b2, denominator 1, a1, a2. */
export interface FilterSection {
  readonly b: readonly [number, number, number];
  readonly a: readonly [number, number];
}

/**
 * Factor C by which tan(π·fc/fs) is divided so that the given number of passes of a filter of this order together
 * have the gain 1/√2 at fc. Dimensionless.
 */
export function passCorrection(order: number, passes: number): number {
  return (2 ** (1 / passes) - 1) ** (1 / (2 * order));
}

/**
 * Sections of a low-pass Butterworth filter by the bilinear transform.
 * @param order of one pass, ≥ 1
 * @param warped tan(π·fc/fs), already divided by {@link passCorrection} where passes are to be corrected for
 */
export function designLowPass(order: number, warped: number): FilterSection[] {
  const sections: FilterSection[] = [];
  const squared = warped * warped;
  for (let k = 0; k < order >> 1; k++) {
    const damping = 2 * Math.sin((Math.PI * (2 * k + 1)) / (2 * order)) * warped;
    const scale = 1 + damping + squared;
    sections.push({
      b: [squared / scale, (2 * squared) / scale, squared / scale],
      a: [(2 * (squared - 1)) / scale, (1 - damping + squared) / scale],
    });
  }
  if (order % 2 === 1) {
    const gain = warped / (1 + warped);
    sections.push({ b: [gain, gain, 0], a: [(warped - 1) / (warped + 1), 0] });
  }
  return sections;
}

/** How many samples the series is extended by at each end. */
export function edgeSamples(order: number): number {
  return 3 * (order + 1);
}

export type FilterFault = 'cutoff_too_high' | 'too_short';

/**
 * Filters a series forward and backward.
 * @param series equally spaced samples of any unit; not changed
 * @param rateHz sampling rate, Hz
 * @param order of one pass
 * @param cutoffHz where both passes together have the gain 1/√2, Hz
 * Returns the filtered series in the unit of the given one, or why it cannot be: a cutoff at or above half the rate, or a series no longer than
 * the edge extension.
 */
export function lowPassZeroLag<Series extends Float64Array>(
  series: Series,
  rateHz: number,
  order: number,
  cutoffHz: number,
): Series | FilterFault {
  if (!(cutoffHz < rateHz / 2)) return 'cutoff_too_high';
  const edge = edgeSamples(order);
  if (series.length <= edge) return 'too_short';
  const warped = Math.tan((Math.PI * cutoffHz) / rateHz) / passCorrection(order, 2);
  const sections = designLowPass(order, warped);
  const extended = extendOdd(series, edge);
  runSections(sections, extended, false);
  runSections(sections, extended, true);
  const filtered = takeSeries(series.length);
  filtered.set(extended.subarray(edge, edge + series.length));
  return filtered as Float64Array as Series;
}

const extensions = new Scratch();

function extendOdd(series: Float64Array, edge: number): Float64Array {
  const n = series.length;
  const extended = extensions.take(n + 2 * edge);
  extended.set(series, edge);
  const [first, last] = [series[0]!, series[n - 1]!];
  for (let i = 1; i <= edge; i++) {
    extended[edge - i] = 2 * first - series[i]!;
    extended[edge + n - 1 + i] = 2 * last - series[n - 1 - i]!;
  }
  return extended;
}

/** Runs all sections over the samples in place, each from the steady state of the sample that it begins with. */
function runSections(sections: readonly FilterSection[], samples: Float64Array, backward: boolean): void {
  const last = samples.length - 1;
  for (const { b, a } of sections) {
    const [b0, b1, b2] = b;
    const [a1, a2] = a;
    const gain = (b0 + b1 + b2) / (1 + a1 + a2);
    const first = samples[backward ? last : 0]!;
    let z2 = (b2 - a2 * gain) * first;
    let z1 = (b1 - a1 * gain) * first + z2;
    const step = backward ? -1 : 1;
    for (let at = backward ? last : 0, left = last; left >= 0; at += step, left--) {
      const x = samples[at]!;
      const y = b0 * x + z1;
      z1 = b1 * x - a1 * y + z2;
      z2 = b2 * x - a2 * y;
      samples[at] = y;
    }
  }
}

/**
 * How Δp is smoothed. `order` is that of one pass; the filter runs forward and backward. `unusable`: a filter was
 * asked for in words that mean none, so no force can be given.
 */
export type FilterChoice =
  | { readonly kind: 'none' }
  | { readonly kind: 'unusable' }
  | { readonly kind: 'butterworth'; readonly order: number; readonly cutoffHz: number };
