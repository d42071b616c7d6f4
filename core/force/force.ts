/**
 * Hand force from pressure difference: F = Δp × hand area, and its impulse, mean and peak over a stroke's propulsion.
 * It is the force normal to the hand, not propulsion. 1 kPa·cm² = 0.1 N. Contract: formats.md section 2.
 */
import { Scratch, takeSeries } from '../base/series.ts';
import { SAME_MOMENT_S } from '../clock/clock.ts';
import type { KpaSeries, NewtonSeries, RawSeries, TraceS } from '../base/units.ts';
import type { ZeroLine, Calibration } from '../sensor/calibration.ts';
import { type FilterChoice, lowPassZeroLag } from './filter.ts';
import type { SampledTrace } from './trace.ts';
import { N_PER_KPA_CM2 } from './uncertainty.ts';
import type { Measured } from '../base/uncertainty.ts';

/** Pressure before the filter, which nobody is given. */
const unfiltered = new Scratch();

export type ForceFault = 'filter_unusable' | 'too_short_to_filter';

/**
 * Pressure difference of one hand, kPa, on the trace's grid: (raw − zero) / sensitivity, then the filter.
 * @param raw filled samples, raw unit
 */
export function pressureDifference(
  raw: RawSeries,
  rateHz: number,
  zero: ZeroLine,
  calibration: Pick<Calibration, 'sensitivityRawPerKpa'>,
  filter: FilterChoice,
): KpaSeries | ForceFault {
  const steps = raw.length - 1;
  const drift = steps > 0 ? (zero.endRaw - zero.startRaw) / steps : 0;
  const kpa: KpaSeries = filter.kind === 'butterworth' ? unfiltered.take(raw.length) : takeSeries(raw.length);
  const { startRaw } = zero;
  const { sensitivityRawPerKpa } = calibration;
  for (let k = 0; k < raw.length; k++) kpa[k] = (raw[k]! - startRaw - drift * k) / sensitivityRawPerKpa;
  if (filter.kind === 'none') return kpa;
  if (filter.kind === 'unusable') return 'filter_unusable';
  const filtered = lowPassZeroLag(kpa, rateHz, filter.order, filter.cutoffHz);
  if (filtered === 'cutoff_too_high') return 'filter_unusable';
  return filtered === 'too_short' ? 'too_short_to_filter' : filtered;
}

/** Hand force, N, from a pressure difference in kPa and a one-sided hand area in cm². */
export function handForce(kpa: KpaSeries, areaCm2: number): NewtonSeries {
  const forceN = takeSeries(kpa.length);
  for (let k = 0; k < kpa.length; k++) forceN[k] = N_PER_KPA_CM2 * kpa[k]! * areaCm2;
  return forceN;
}

/** Force of one stroke over its propulsion. */
export interface StrokeForce {
  /** Trapezoid over the propulsion, both ends interpolated, N·s. */
  readonly impulseNs: number;
  /** Impulse over duration, N. */
  readonly meanN: number;
  /** Largest sample in the closed interval, N; null where no sample lies in it. */
  readonly peakN: number | null;
}

/**
 * Impulse, mean and peak of a force series between two times, s.
 * Returns `outside_trace` where the interval leaves the trace.
 */
export function strokeForce(
  forceN: NewtonSeries,
  grid: Pick<SampledTrace, 'startS' | 'rateHz'>,
  startS: TraceS,
  endS: TraceS,
): StrokeForce | 'outside_trace' {
  const place = samplesBetween(forceN.length, grid, startS, endS);
  if (place === null) return 'outside_trace';
  const { from, to, first, final } = place;
  let peak = -Infinity;
  let area = 0;
  let at = from;
  let value = interpolate(forceN, from);
  for (let k = first; k <= final; k++) {
    const sample = forceN[k]!;
    peak = Math.max(peak, sample);
    area += ((value + sample) / 2) * (k - at);
    at = k;
    value = sample;
  }
  area += ((value + interpolate(forceN, to)) / 2) * (to - at);
  const impulseNs = area / grid.rateHz;
  return { impulseNs, meanN: impulseNs / (endS - startS), peakN: final < first ? null : peak };
}

function interpolate(samples: Float64Array, position: number): number {
  const within = Math.min(Math.max(position, 0), samples.length - 1);
  const k = Math.min(Math.floor(within), samples.length - 2);
  const part = within - k;
  return samples[k]! * (1 - part) + samples[k + 1]! * part;
}

/**
 * Largest size of a series' samples in the closed interval, in its unit; null where no sample lies in it or the interval
 * leaves the series.
 */
export function largestSize(
  series: Float64Array,
  grid: Pick<SampledTrace, 'startS' | 'rateHz'>,
  startS: number,
  endS: number,
): number | null {
  const place = samplesBetween(series.length, grid, startS, endS);
  if (place === null || place.final < place.first) return null;
  let most = 0;
  for (let k = place.first; k <= place.final; k++) most = Math.max(most, Math.abs(series[k]!));
  return most;
}

/** Where a closed interval lies on a grid of so many samples: its ends in samples, and the samples in it. */
function samplesBetween(
  count: number,
  grid: Pick<SampledTrace, 'startS' | 'rateHz'>,
  startS: number,
  endS: number,
) {
  const last = count - 1;
  const slack = SAME_MOMENT_S * grid.rateHz;
  const from = (startS - grid.startS) * grid.rateHz;
  const to = (endS - grid.startS) * grid.rateHz;
  if (from < -slack || to > last + slack) return null;
  const first = Math.max(0, Math.ceil(from - slack));
  return { from, to, first, final: Math.min(last, Math.floor(to + slack)) };
}

/**
 * 100 × (right − left) / mean of both, %, of two mean forces in N, with its standard uncertainty, left and right taken
 * as independent; null where their sum is 0 or one is missing.
 */
export function forceSymmetry(left: Measured | null, right: Measured | null): Measured | null {
  if (left === null || right === null) return null;
  const sum = right.value + left.value;
  if (sum === 0) return null;
  const value = (100 * (right.value - left.value)) / (sum / 2);
  const spread =
    left.u === null || right.u === null ? null : Math.hypot(left.value * right.u, right.value * left.u);
  return { value, u: spread === null ? null : (400 / sum ** 2) * spread };
}
