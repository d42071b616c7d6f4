/**
 * Zero and known pressures read at the end of a day, against the calibration the day was run with: has the sensor held?
 * A pressure is read by the day's own zero, that of the end where there is one: p = (raw − zero) / sensitivity. What is
 * allowed is a part of full scale, and never less than the calibration's own scatter makes likely.
 */
import { largest } from '../base/extent.ts';
import type { AssignedSensor, DayZero, CheckReading } from './deck.ts';
import { calibrate, type Calibration } from '../sensor/calibration.ts';
import { signed, figures } from '../base/words.ts';

export interface SensorDayCheck {
  readonly sensor: string;
  readonly zeroStartRaw: number | null;
  readonly zeroEndRaw: number | null;
  /** End less start, kPa; null without both or without a calibration. */
  readonly zeroShiftKpa: number | null;
  readonly readings: readonly {
    readonly appliedKpa: number;
    readonly readKpa: number | null;
    readonly errorKpa: number | null;
  }[];
  readonly verdict: 'holds' | 'look' | 'missing';
  /** One sentence: what was found and what to do. */
  readonly says: string;
}

export interface SensorDayInput {
  readonly sensor: AssignedSensor;
  /** Rows of other sensors are passed over; of several at one time of day the last counts. */
  readonly zeros: readonly DayZero[];
  readonly readings: readonly CheckReading[];
  /** Null for no limit. */
  readonly maxZeroShiftKpa: number | null;
  /** Error allowed of a known pressure, % of full scale. */
  readonly maxErrorPctFs?: number;
}

/** Error allowed of a known pressure where a lab sets none, % of full scale (common practice, no source). */
export const MOST_ERROR_PCT_FS = 2;

/** An error within so many residual standard deviations of the calibration is its scatter (common practice, no source). */
const SCATTER = 3;

/** Checks one sensor at the end of the day. */
export function checkSensorDay(input: SensorDayInput): SensorDayCheck {
  const { sensor: about } = input;
  const { sensor } = about;
  const calibration = about.calibration === null ? null : calibrate(about.calibration.points, about.rangeKpa);
  const zeroAt = (when: DayZero['when']) =>
    input.zeros.findLast((zero) => zero.sensor === sensor && zero.when === when)?.raw ?? null;
  const [zeroStartRaw, zeroEndRaw] = [zeroAt('start'), zeroAt('end')];
  const zeroShiftKpa =
    calibration === null || zeroStartRaw === null || zeroEndRaw === null
      ? null
      : (zeroEndRaw - zeroStartRaw) / calibration.sensitivityRawPerKpa;
  const readings = input.readings
    .filter((reading) => reading.sensor === sensor)
    .map(({ appliedKpa, raw }) => {
      if (calibration === null) return { appliedKpa, readKpa: null, errorKpa: null };
      const zero = zeroEndRaw ?? zeroStartRaw ?? calibration.interceptRaw;
      const readKpa = (raw - zero) / calibration.sensitivityRawPerKpa;
      return { appliedKpa, readKpa, errorKpa: readKpa - appliedKpa };
    });
  const bare = { sensor, zeroStartRaw, zeroEndRaw, zeroShiftKpa, readings };
  return { ...bare, ...judged(bare, input, calibration) };
}

function judged(
  { sensor, zeroStartRaw, zeroEndRaw, zeroShiftKpa, readings }: Omit<SensorDayCheck, 'verdict' | 'says'>,
  { sensor: { rangeKpa }, maxZeroShiftKpa, maxErrorPctFs = MOST_ERROR_PCT_FS }: SensorDayInput,
  calibration: Calibration | null,
): Pick<SensorDayCheck, 'verdict' | 'says'> {
  if (calibration === null)
    return {
      verdict: 'missing',
      says: `Sensor ${sensor} has no calibration that can be fitted, so its readings are not known in kPa. Calibrate it on the bench.`,
    };
  const allowed = allowedKpa(rangeKpa, calibration, maxErrorPctFs);
  const errors = readings.flatMap(({ appliedKpa, errorKpa }) =>
    errorKpa === null ? [] : [{ appliedKpa, errorKpa }],
  );
  const worst = errors.reduce<(typeof errors)[number] | null>(
    (most, one) => (most === null || Math.abs(one.errorKpa) > Math.abs(most.errorKpa) ? one : most),
    null,
  );
  const shifted =
    zeroShiftKpa !== null && maxZeroShiftKpa !== null && Math.abs(zeroShiftKpa) > maxZeroShiftKpa;
  const off = worst !== null && allowed !== null && Math.abs(worst.errorKpa) > allowed;
  const shift =
    zeroShiftKpa === null
      ? null
      : `its zero moved by ${signed(zeroShiftKpa)} kPa over the day${maxZeroShiftKpa === null ? '' : ` (limit ${maxZeroShiftKpa} kPa)`}`;
  const error =
    worst === null
      ? null
      : `at ${figures(worst.appliedKpa)} kPa it reads ${signed(worst.errorKpa)} kPa off${allowed === null ? '' : ` (limit ${figures(allowed, 2)} kPa)`}`;
  const found = [shift, error].filter((part) => part !== null).join(', and ');
  if (shifted || off)
    return {
      verdict: 'look',
      says: `Sensor ${sensor} has not held: ${found}. Calibrate it anew before it is used again, and look at the day’s trials with it.`,
    };
  const missing = [
    ...(zeroStartRaw === null ? ['the zero at the start'] : []),
    ...(zeroEndRaw === null ? ['the zero at the end'] : []),
    ...(readings.length === 0 ? ['a known pressure'] : []),
  ];
  if (missing.length > 0)
    return {
      verdict: 'missing',
      says: `Sensor ${sensor} cannot be judged whole: ${missing.join(' and ')} ${missing.length === 1 ? 'was' : 'were'} not read${found === '' ? '' : `; ${found}`}. Read what still can be read.`,
    };
  if (allowed === null)
    return {
      verdict: 'look',
      says: `Sensor ${sensor}: ${found}; neither its range nor its calibration’s scatter is known, so there is no limit to hold that against. Give its range.`,
    };
  return { verdict: 'holds', says: `Sensor ${sensor} has held: ${found}.` };
}

/** Error allowed, kPa; null where neither range nor scatter is known. */
function allowedKpa(rangeKpa: number | null, { residualSdKpa }: Calibration, pctFs: number): number | null {
  const parts = [
    ...(rangeKpa === null ? [] : [(pctFs / 100) * rangeKpa]),
    ...(residualSdKpa === null ? [] : [SCATTER * residualSdKpa]),
  ];
  return parts.length === 0 ? null : largest(parts);
}
