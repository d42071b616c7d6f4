/**
 * Hand force from pressure difference: F = Δp × hand area, and its impulse, mean and peak over a stroke's propulsion.
 * It is the force normal to the hand, not propulsion. 1 kPa·cm² = 0.1 N. Contract: formats.md section 2.
 */
import type { ZeroLine, Calibration } from '../sensor/calibration.ts';
import { type FilterChoice, lowPassZeroLag } from './filter.ts';
import type { SampledTrace } from './trace.ts';
import { rootSumSquares } from '../base/uncertainty.ts';

/** N per kPa·cm². */
const N_PER_KPA_CM2 = 0.1;

const SAME_MOMENT_S = 1e-9;

export type ForceFault = 'filter_unusable' | 'too_short_to_filter';

/**
 * Pressure difference of one hand, kPa, on the trace's grid: (raw − zero) / sensitivity, then the filter.
 * @param raw filled samples, raw unit
 */
export function pressureDifference(
  raw: Float64Array,
  rateHz: number,
  zero: ZeroLine,
  calibration: Calibration,
  filter: FilterChoice,
): Float64Array | ForceFault {
  const steps = raw.length - 1;
  const drift = steps > 0 ? (zero.endRaw - zero.startRaw) / steps : 0;
  const kpa = Float64Array.from(
    raw,
    (value, k) => (value - zero.startRaw - drift * k) / calibration.sensitivityRawPerKpa,
  );
  if (filter.kind === 'none') return kpa;
  if (filter.kind === 'unusable') return 'filter_unusable';
  const filtered = lowPassZeroLag(kpa, rateHz, filter.order, filter.cutoffHz);
  if (filtered === 'cutoff_too_high') return 'filter_unusable';
  return filtered === 'too_short' ? 'too_short_to_filter' : filtered;
}

/** Hand force, N, from a pressure difference in kPa and a one-sided hand area in cm². */
export function handForce(kpa: Float64Array, areaCm2: number): Float64Array {
  return kpa.map((value) => N_PER_KPA_CM2 * value * areaCm2);
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
  forceN: Float64Array,
  grid: Pick<SampledTrace, 'startS' | 'rateHz'>,
  startS: number,
  endS: number,
): StrokeForce | 'outside_trace' {
  const last = forceN.length - 1;
  const slack = SAME_MOMENT_S * grid.rateHz;
  const from = (startS - grid.startS) * grid.rateHz;
  const to = (endS - grid.startS) * grid.rateHz;
  if (from < -slack || to > last + slack) return 'outside_trace';
  const first = Math.max(0, Math.ceil(from - slack));
  const final = Math.min(last, Math.floor(to + slack));
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
 * Standard uncertainty of a peak force, N: hand area and sensitivity in proportion, the residual scatter of the
 * calibration in full (formats.md section 2). Null where a part is not known.
 */
export function peakForceU(
  peakN: number,
  area: { readonly cm2: number; readonly uCm2: number | null },
  calibration: Calibration,
): number | null {
  const { sensitivityRawPerKpa, sensitivityU, residualSdKpa } = calibration;
  if (area.uCm2 === null || sensitivityU === null || residualSdKpa === null) return null;
  return rootSumSquares([
    (peakN * area.uCm2) / area.cm2,
    (peakN * sensitivityU) / sensitivityRawPerKpa,
    N_PER_KPA_CM2 * area.cm2 * residualSdKpa,
  ]);
}

/** 100 × (right − left) / mean of both, %, of two mean forces in N; null where their sum is 0 or one is missing. */
export function forceSymmetryPct(leftN: number | null, rightN: number | null): number | null {
  if (leftN === null || rightN === null || leftN + rightN === 0) return null;
  return (100 * (rightN - leftN)) / ((rightN + leftN) / 2);
}
