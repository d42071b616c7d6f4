/**
 * What a sensor reads against what was applied, and the zero of a trial.
 * Line: ordinary least squares of raw on applied kPa (JCGM 100 H.3). Non-linearity and hysteresis as formats.md
 * section 1 defines them, in % of full scale. Δp = (raw − zero) / sensitivity.
 */
import { largest } from '../base/extent.ts';
import { type Line, fitLine, mean } from '../base/statistics.ts';

/** One step of a calibration. */
export interface CalibrationPoint {
  readonly appliedKpa: number;
  readonly raw: number;
  readonly direction: 'up' | 'down' | null;
}

/** What is known of the reference that a calibration was made with: standard uncertainties all its points share. */
export interface ReferenceError {
  /** % of the applied pressure. */
  readonly scaleUPct: number;
  /** Of the reference's zero, kPa. */
  readonly zeroUKpa: number;
}

/** A reference of which nothing is stated: it adds nothing. */
export const UNSTATED_REFERENCE: ReferenceError = { scaleUPct: 0, zeroUKpa: 0 };

/** The limits a calibration is judged by, % of full scale. */
export interface CalibrationLimits {
  readonly nonlinearityPctFs: number;
  readonly hysteresisPctFs: number;
}

/**
 * Limits used where a lab has set none: 1 % of full scale each, the order of the uncertainty of a traced hand
 * area's scale, so that the sensor is not what limits the force (common practice, no source).
 */
export const DEFAULT_CALIBRATION_LIMITS: CalibrationLimits = { nonlinearityPctFs: 1, hysteresisPctFs: 1 };

export type CalibrationVerdict = 'accepted' | 'remark' | 'rejected' | 'not_fitted' | 'missing';

/** A sensor's calibration; raw in the sensor's raw unit. */
export interface Calibration {
  readonly interceptRaw: number;
  readonly sensitivityRawPerKpa: number;
  /** Standard uncertainty of the sensitivity, raw/kPa, the reference's scale in it; null below three points. */
  readonly sensitivityU: number | null;
  /** Residual standard deviation on n − 2 degrees of freedom, kPa; null below three points. */
  readonly residualSdKpa: number | null;
  /** Null below three different pressures, and where the sensor's range is not known. */
  readonly nonlinearityPctFs: number | null;
  /** As non-linearity, and null where no pressure was applied both up and down. */
  readonly hysteresisPctFs: number | null;
  /** Different pressures among the points. */
  readonly pressures: number;
  /** Largest size of an applied pressure, kPa: beyond it a force is `beyond_calibration`. */
  readonly largestKpa: number;
  /** Part of the sensor's range that the points reach, 1; null where the range is not known. */
  readonly coverage: number | null;
  /** Standard uncertainty of the reference's zero, kPa: it counts where the intercept is a trial's zero. */
  readonly referenceZeroUKpa: number;
  readonly line: Line;
}

/** A line through two pressures fits them whatever the sensor does: it shows no behaviour. */
const FEWEST_PRESSURES = 3;

/** Points must reach this part of the range, else what they show is at best a remark. */
const LEAST_COVERAGE = 0.5;

/** Two applied pressures nearer than this part of the larger are the same pressure (unit conversion leaves dust). */
const SAME_PRESSURE = 1e-9;

/**
 * Fits a sensor's calibration. Points in kPa and raw.
 * @param rangeKpa full scale, kPa; null where not known
 * @param reference what the reference itself is uncertain by; nothing where it is not stated
 * Returns null where no line can be fitted: fewer than two different pressures, or no change of raw.
 */
export function calibrate(
  points: readonly CalibrationPoint[],
  rangeKpa: number | null,
  reference: ReferenceError = UNSTATED_REFERENCE,
): Calibration | null {
  const groups = byPressure(points);
  const raws = points.map((point) => point.raw);
  if (groups.length < 2 || raws.every((raw) => raw === raws[0])) return null;
  const line = fitLine(
    points.map((point) => point.appliedKpa),
    raws,
  );
  if (line === null || line.slope === 0) return null;
  const size = Math.abs(line.slope);
  const residuals = groups.map((group) =>
    Math.abs(mean(group.map((point) => point.raw - line.intercept - line.slope * point.appliedKpa))!),
  );
  const differences = groups.flatMap((group) => {
    const of = (direction: 'up' | 'down') =>
      mean(group.filter((point) => point.direction === direction).map((point) => point.raw));
    const [up, down] = [of('up'), of('down')];
    return up === null || down === null ? [] : [Math.abs(up - down)];
  });
  const percent = (raws: readonly number[]) =>
    rangeKpa === null || raws.length === 0 || groups.length < FEWEST_PRESSURES
      ? null
      : (100 * largest(raws)) / (size * rangeKpa);
  const largestKpa = points.reduce((most, { appliedKpa }) => Math.max(most, Math.abs(appliedKpa)), 0);
  return {
    interceptRaw: line.intercept,
    sensitivityRawPerKpa: line.slope,
    sensitivityU: line.slopeU === null ? null : Math.hypot(line.slopeU, (size * reference.scaleUPct) / 100),
    residualSdKpa: line.residualSd === null ? null : line.residualSd / size,
    nonlinearityPctFs: percent(residuals),
    hysteresisPctFs: percent(differences),
    pressures: groups.length,
    largestKpa,
    coverage: rangeKpa === null ? null : largestKpa / rangeKpa,
    referenceZeroUKpa: reference.zeroUKpa,
    line,
  };
}

function byPressure(points: readonly CalibrationPoint[]): CalibrationPoint[][] {
  const groups: CalibrationPoint[][] = [];
  for (const point of points.toSorted((a, b) => a.appliedKpa - b.appliedKpa)) {
    const last = groups.at(-1);
    const reference = last?.[0]?.appliedKpa;
    const same =
      reference !== undefined &&
      Math.abs(point.appliedKpa - reference) <=
        SAME_PRESSURE * Math.max(Math.abs(point.appliedKpa), Math.abs(reference));
    if (same) last!.push(point);
    else groups.push([point]);
  }
  return groups;
}

/**
 * The verdict on a calibration: `rejected` where a limit is broken or the sensor reads backward, `remark` where
 * something could not be judged (fewer than three pressures, no range, no pressure both up and down) or the points reach
 * less than half the range, `not_fitted` without a line.
 */
export function judgeCalibration(
  calibration: Calibration | null,
  limits: CalibrationLimits = DEFAULT_CALIBRATION_LIMITS,
): CalibrationVerdict {
  if (calibration === null) return 'not_fitted';
  const { nonlinearityPctFs, hysteresisPctFs } = calibration;
  if (calibration.sensitivityRawPerKpa < 0) return 'rejected';
  if ((nonlinearityPctFs ?? 0) > limits.nonlinearityPctFs) return 'rejected';
  if ((hysteresisPctFs ?? 0) > limits.hysteresisPctFs) return 'rejected';
  const judged = nonlinearityPctFs !== null && hysteresisPctFs !== null && calibration.sensitivityU !== null;
  const covered = calibration.coverage !== null && calibration.coverage >= LEAST_COVERAGE;
  return judged && covered ? 'accepted' : 'remark';
}

/** The zero (tare) readings of one sensor around one trial, raw. */
export interface ZeroReadings {
  readonly before: number | null;
  readonly after: number | null;
}

/** Where the zero of a trial comes from: its own readings, those of the day, the calibration's intercept, or nowhere. */
export type ZeroOrigin = 'trial' | 'day' | 'calibration' | 'none';

/** The zero of a trial: its value at its first and at its last sample, straight between them; in the unit of raw. */
export interface ZeroLine {
  readonly startRaw: number;
  readonly endRaw: number;
  readonly origin: ZeroOrigin;
}

/** No reading of a zero. */
export const NO_ZEROS: ZeroReadings = { before: null, after: null };

/**
 * The zero line of a trial from its readings: straight between two, constant with one; the mean of the day's readings
 * where it has none; then the calibration's intercept; 0 where there is no calibration (values calibrated elsewhere).
 */
export function zeroLine(
  own: ZeroReadings,
  day: ZeroReadings,
  calibration: Pick<Calibration, 'interceptRaw'> | null,
): ZeroLine {
  const start = own.before ?? own.after;
  const end = own.after ?? own.before;
  if (start !== null && end !== null) return { startRaw: start, endRaw: end, origin: 'trial' };
  const all = mean([day.before, day.after].filter((raw) => raw !== null));
  if (all !== null) return { startRaw: all, endRaw: all, origin: 'day' };
  if (calibration === null) return { startRaw: 0, endRaw: 0, origin: 'none' };
  return { startRaw: calibration.interceptRaw, endRaw: calibration.interceptRaw, origin: 'calibration' };
}

/** Zero shift over a trial, after minus before, kPa; null without both readings. */
export function zeroShiftKpa(
  readings: ZeroReadings,
  calibration: Pick<Calibration, 'sensitivityRawPerKpa'>,
): number | null {
  if (readings.before === null || readings.after === null) return null;
  return (readings.after - readings.before) / calibration.sensitivityRawPerKpa;
}
