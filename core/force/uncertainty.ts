/**
 * The standard uncertainty of a hand force, by the one formula of formats.md section 2 (JCGM 100:2008, 5.1.2, parts
 * taken as independent): hand area and sensitivity in proportion, and in full the calibration's residual scatter, the
 * zero, and the depth between the two taps. Every part is shared by the strokes of a trial, so none of it averages out.
 */
import { type ZeroLine, type ZeroReadings, type Calibration, zeroShiftKpa } from '../sensor/calibration.ts';
import { waterOf } from '../sensor/hydrostatics.ts';
import { rootSumSquares } from '../base/uncertainty.ts';

/** N per kPa·cm². */
export const N_PER_KPA_CM2 = 0.1;

/** Weight of water where the pool's temperature or latitude is not known, N/m³: 27 °C, middle latitudes. */
const USUAL_WATER_N_M3 = 9775;

/** What makes a force uncertain; a part that is not known is null. */
export interface ForceParts {
  /** Of the hand area, relative. */
  readonly area: number | null;
  /** Of the sensitivity, or of a scale stated elsewhere, relative. */
  readonly scale: number | null;
  /** kPa. */
  readonly residualKpa: number | null;
  readonly zeroKpa: number | null;
  readonly tapKpa: number;
  readonly areaCm2: number;
}

/** How uncertain the forces of one hand of a trial are: in proportion, and in full; null where a part is not known. */
export interface ForceSpread {
  /** Relative. */
  readonly inProportion: number | null;
  /** N. */
  readonly inFullN: number | null;
}

/**
 * Standard uncertainty of the depth between a hand's two taps as a pressure, kPa: rectangular over the offset.
 * @param tapOffsetMm how far the depths may differ, mm
 */
export function tapUKpa(tapOffsetMm: number, pool: Parameters<typeof waterOf>[0]): number {
  const water = waterOf(pool);
  const weight = water === null ? USUAL_WATER_N_M3 : water.densityKgM3 * water.gravityMS2;
  return (weight * tapOffsetMm * 1e-6) / Math.sqrt(3);
}

/**
 * Standard uncertainty of a trial's zero, kPa: the straight line between two readings may be wrong by half their
 * difference; without two it may have moved as far as the protocol allows. Null without that limit either.
 * @param readings of the trial where the zero is its own, of the day where it is the day's
 */
export function zeroUKpa(
  { origin }: ZeroLine,
  readings: { readonly trial: ZeroReadings; readonly day: ZeroReadings },
  calibration: Pick<Calibration, 'sensitivityRawPerKpa' | 'referenceZeroUKpa'>,
  maxZeroShiftKpa: number | null,
): number | null {
  const read = origin === 'trial' ? readings.trial : origin === 'day' ? readings.day : null;
  const shift = read === null ? null : zeroShiftKpa(read, calibration);
  if (shift !== null) return Math.abs(shift) / (2 * Math.sqrt(3));
  if (maxZeroShiftKpa === null) return null;
  return Math.hypot(
    maxZeroShiftKpa / Math.sqrt(3),
    origin === 'calibration' ? calibration.referenceZeroUKpa : 0,
  );
}

/** Puts the parts together. */
export function forceSpread(parts: ForceParts): ForceSpread {
  const kpa = rootSumSquares([parts.residualKpa, parts.zeroKpa, parts.tapKpa]);
  return {
    inProportion: rootSumSquares([parts.area, parts.scale]),
    inFullN: kpa === null ? null : N_PER_KPA_CM2 * parts.areaCm2 * kpa,
  };
}

/** Standard uncertainty of a force, N; null where a part is not known. */
export function forceU(forceN: number, { inProportion, inFullN }: ForceSpread): number | null {
  return rootSumSquares([inProportion === null ? null : forceN * inProportion, inFullN]);
}

/** Standard uncertainty of an impulse (N·s) over a duration (s), N·s; null where a part is not known. */
export function impulseU(
  impulseNs: number,
  durationS: number,
  { inProportion, inFullN }: ForceSpread,
): number | null {
  return rootSumSquares([
    inProportion === null ? null : impulseNs * inProportion,
    inFullN === null ? null : durationS * inFullN,
  ]);
}
