/**
 * What a sensor reads against what was applied, and the zero of a trial.
 * Line: ordinary least squares of raw on applied kPa (JCGM 100 H.3). Non-linearity and hysteresis as formats.md
 * section 1 defines them, in % of full scale. Δp = (raw − zero) / sensitivity.
 */
import { type Line, fitLine, mean } from '../base/statistics.ts';

/** One step of a calibration. */
export interface CalibrationPoint {
  readonly appliedKpa: number;
  readonly raw: number;
  readonly direction: 'up' | 'down' | null;
}

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
  /** Standard uncertainty of the sensitivity, raw/kPa; null below three points. */
  readonly sensitivityU: number | null;
  /** Residual standard deviation on n − 2 degrees of freedom, kPa; null below three points. */
  readonly residualSdKpa: number | null;
  /** Null where the sensor's range is not known. */
  readonly nonlinearityPctFs: number | null;
  /** Null where no pressure was applied both up and down, or the range is not known. */
  readonly hysteresisPctFs: number | null;
  readonly line: Line;
}

/** Two applied pressures nearer than this part of the larger are the same pressure (unit conversion leaves dust). */
const SAME_PRESSURE = 1e-9;

/**
 * Fits a sensor's calibration. Points in kPa and raw.
 * @param rangeKpa full scale, kPa; null where not known
 * Returns null where no line can be fitted: fewer than two different pressures, or no change of raw.
 */
export function calibrate(points: readonly CalibrationPoint[], rangeKpa: number | null): Calibration | null {
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
    rangeKpa === null || raws.length === 0 ? null : (100 * Math.max(...raws)) / (size * rangeKpa);
  return {
    interceptRaw: line.intercept,
    sensitivityRawPerKpa: line.slope,
    sensitivityU: line.slopeU,
    residualSdKpa: line.residualSd === null ? null : line.residualSd / size,
    nonlinearityPctFs: percent(residuals),
    hysteresisPctFs: percent(differences),
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
 * something could not be judged (two points, no range, no pressure both up and down), `not_fitted` without a line.
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
  return judged ? 'accepted' : 'remark';
}

/** The zero (tare) readings of one sensor around one trial, raw. */
export interface ZeroReadings {
  readonly before: number | null;
  readonly after: number | null;
}

/** The zero of a trial: raw at its first and at its last sample, straight between them. */
export interface ZeroLine {
  readonly startRaw: number;
  readonly endRaw: number;
  /** True where no zero was read and the calibration's intercept stands in (`zero_from_calibration`). */
  readonly fromCalibration: boolean;
}

/** The zero line of a trial from its readings; constant with one reading, the intercept with none. */
export function zeroLine(readings: ZeroReadings, calibration: Calibration): ZeroLine {
  const start = readings.before ?? readings.after;
  const end = readings.after ?? readings.before;
  if (start === null || end === null)
    return { startRaw: calibration.interceptRaw, endRaw: calibration.interceptRaw, fromCalibration: true };
  return { startRaw: start, endRaw: end, fromCalibration: false };
}

/** Zero shift over a trial, after minus before, kPa; null without both readings. */
export function zeroShiftKpa(readings: ZeroReadings, calibration: Calibration): number | null {
  if (readings.before === null || readings.after === null) return null;
  return (readings.after - readings.before) / calibration.sensitivityRawPerKpa;
}
