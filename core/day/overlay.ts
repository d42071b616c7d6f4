/**
 * What people decided on a day, laid over what its folder says before anything is computed: zeros that were confirmed,
 * hand areas that were kept, and the calibrations of another rule. Where nothing was decided the day comes back as it
 * is, so that the numbers are those of formats.md.
 */
import { largest, smallest } from '../base/extent.ts';
import { type ZeroReadings, type Calibration, calibrate } from '../sensor/calibration.ts';
import { type Hand, HANDS } from '../base/hand.ts';
import type { HandArea } from '../force/handarea.ts';
import type { SensorCalibration } from './sensors.ts';
import type { Daybook, TrialEntry } from './book.ts';
import type { CalibrationLine } from '../sensor/choice.ts';
import type { CalibrationAssessment } from '../sensor/metrology.ts';
import type { Line } from '../base/statistics.ts';

export interface DayOverlay {
  /** Confirmed zero readings, raw, by trial, then sensor; null where the file's reading stands. */
  readonly zeros: ReadonlyMap<string, ReadonlyMap<string, ZeroReadings>>;
  /** Kept areas by participant; null where the roster stands. */
  readonly areas: ReadonlyMap<string, Readonly<Record<Hand, HandArea | null>>>;
  /** Calibrations by sensor in place of the day's own; null where the day's own are used. */
  readonly calibrations: ReadonlyMap<string, SensorCalibration> | null;
}

/** The day with the overlay on it. */
export function overlayDay(book: Daybook, overlay: DayOverlay): Daybook {
  const trials = book.trials.map((entry) => overlayTrial(entry, overlay));
  return { ...book, trials, calibrations: overlay.calibrations ?? book.calibrations };
}

function overlayTrial(entry: TrialEntry, { zeros, areas }: DayOverlay): TrialEntry {
  const confirmed = zeros.get(entry.row.trial);
  const kept = areas.get(entry.row.participant);
  if (confirmed === undefined && kept === undefined) return entry;
  const merged = new Map(entry.zeros);
  for (const [sensor, { before, after }] of confirmed ?? []) {
    const own = merged.get(sensor);
    merged.set(sensor, { before: before ?? own?.before ?? null, after: after ?? own?.after ?? null });
  }
  const usesKept = kept !== undefined && HANDS.some((hand) => kept[hand] !== null);
  return { ...entry, zeros: merged, ...(usesKept ? { areas: kept } : {}) };
}

/**
 * A chosen calibration in the shape that a force is computed from.
 * @param line what was chosen
 * @param from the one assessment it is, or the two it lies between in the order of time
 * @param part how far it lies from the first to the second, 0…1
 * What only one calibration can have (non-linearity, hysteresis) is null between two; the degrees of freedom are the
 * fewer, everything else lies straight between.
 */
export function calibrationFrom(
  line: CalibrationLine,
  from: readonly CalibrationAssessment[],
  part: number,
): Calibration {
  const [first, last] = [from[0]!, from.at(-1)!];
  const between = (value: (assessment: CalibrationAssessment) => number | null) => {
    const [a, b] = [value(first), value(last)];
    return a === null || b === null ? null : a + part * (b - a);
  };
  const fitted: Line = {
    intercept: line.interceptRaw,
    slope: line.sensitivityRawPerKpa,
    n: smallest(from.map((assessment) => assessment.line.n)),
    meanX: between((assessment) => assessment.line.meanX)!,
    sumSquaresX: between((assessment) => assessment.line.sumSquaresX)!,
    residualSd: between((assessment) => assessment.line.residualSd),
    interceptU: line.interceptU,
    slopeU: line.sensitivityU,
    correlation: correlationOf(line, from, part),
  };
  // Between two calibrations only what both have seen has been seen.
  const largestKpa = smallest(from.map(largestOf));
  const used = first.points.filter(({ setAside }) => setAside === null);
  const own = from.length === 1 ? calibrate(used, first.rangeKpa) : null;
  return {
    interceptRaw: line.interceptRaw,
    sensitivityRawPerKpa: line.sensitivityRawPerKpa,
    sensitivityU: line.sensitivityU,
    residualSdKpa: line.residualSdKpa,
    nonlinearityPctFs: own?.nonlinearityPctFs ?? null,
    hysteresisPctFs: own?.hysteresisPctFs ?? null,
    pressures: smallest(from.map((assessment) => assessment.pressureCount)),
    largestKpa,
    coverage: first.rangeKpa === null ? null : largestKpa / first.rangeKpa,
    referenceZeroUKpa: largest(from.map(({ reference }) => reference.sharedKpa)),
    line: fitted,
  };
}

/**
 * Correlation of intercept and sensitivity, the reference included: of one calibration its own; between two the
 * covariances weigh as the independent fits do, and the unknown way between them adds none.
 */
function correlationOf(
  { interceptU, sensitivityU }: CalibrationLine,
  from: readonly CalibrationAssessment[],
  part: number,
): number | null {
  if (from.length === 1) return from[0]!.correlation;
  if (interceptU === null || sensitivityU === null || interceptU === 0 || sensitivityU === 0) return null;
  let covariance = 0;
  for (const [k, { correlation, zero, sensitivity }] of from.entries()) {
    if (correlation === null || zero.u === null || sensitivity.u === null) return null;
    covariance += (k === 0 ? 1 - part : part) ** 2 * correlation * zero.u * sensitivity.u;
  }
  return covariance / (interceptU * sensitivityU);
}

function largestOf({ points }: CalibrationAssessment): number {
  return points.reduce(
    (most, { appliedKpa, setAside }) => (setAside === null ? Math.max(most, Math.abs(appliedKpa)) : most),
    0,
  );
}
