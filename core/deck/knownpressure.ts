/**
 * Zeros and known pressures read at the start and the end of a day, held against the calibration that the day is run
 * with, by the rule of formats.md (checks.csv): at each end a pressure is read by the zero of that end, else by the
 * calibration's intercept, and the deviation is held against `max_check_deviation_kpa`. What is shown here is therefore
 * what the trials of the sensor are flagged by.
 */
import type { AssignedSensor, DayZero, DeckBoard, KnownPressure } from './deck.ts';
import { calibrate, type Calibration } from '../sensor/calibration.ts';
import { type PressureEntry, pressureFails, type SensorOutcome, pressureOutcome } from '../day/checks.ts';
import type { Elsewhere } from '../day/elsewhere.ts';
import { signed, figures } from '../base/words.ts';

type When = DayZero['when'];

export interface KnownPressureReport {
  readonly sensor: string;
  readonly zeroStartRaw: number | null;
  readonly zeroEndRaw: number | null;
  /** End less start, kPa; null without both, or where raw values are not known in kPa. */
  readonly zeroShiftKpa: number | null;
  readonly readings: readonly {
    readonly when: When;
    readonly appliedKpa: number;
    readonly readKpa: number | null;
    readonly errorKpa: number | null;
  }[];
  /**
   * `look`: a limit is broken; `missing`: something was not read, or cannot be known in kPa; `unjudged`: all was read,
   * and the protocol sets no limit for a known pressure.
   */
  readonly verdict: 'holds' | 'look' | 'missing' | 'unjudged';
  /** One sentence: what was found and what to do. */
  readonly says: string;
}

export interface SensorDayInput {
  readonly sensor: AssignedSensor;
  /** Rows of other sensors are passed over. */
  readonly board: Pick<DeckBoard, 'zeros' | 'checks'>;
  /** Null for no limit. */
  readonly maxZeroShiftKpa: number | null;
  readonly maxCheckDeviationKpa: number | null;
  /** How the sensor's column was calibrated elsewhere; null where it is raw. */
  readonly elsewhere: Elsewhere | null;
}

/** What tells two pressures apart: nine figures, since unit conversion leaves dust. */
function pressureKey({ sensor, when, appliedKpa }: Omit<KnownPressure, 'raw' | 'atMs'>): string {
  return `${sensor} ${when} ${appliedKpa.toPrecision(9)}`;
}

/** The readings that count: of several of one sensor, end of the day and pressure the latest. */
export function standingPressures(readings: readonly KnownPressure[]): readonly KnownPressure[] {
  const last = new Map(readings.map((reading) => [pressureKey(reading), reading]));
  return [...last.values()];
}

/** The zero of a sensor at one end of the day, raw; null where it was not read. Of several the latest counts. */
export function dayZeroOf(zeros: readonly DayZero[], sensor: string, when: When): number | null {
  return zeros.findLast((zero) => zero.sensor === sensor && zero.when === when)?.raw ?? null;
}

/** Checks one sensor of a day. */
export function reportKnownPressures(input: SensorDayInput): KnownPressureReport {
  const { sensor: about, board, elsewhere } = input;
  const { sensor } = about;
  const calibration = about.calibration === null ? null : calibrate(about.calibration.points, about.rangeKpa);
  const line = lineOf(calibration, elsewhere);
  const [zeroStartRaw, zeroEndRaw] = [
    dayZeroOf(board.zeros, sensor, 'start'),
    dayZeroOf(board.zeros, sensor, 'end'),
  ];
  const zeroShiftKpa =
    line === null || zeroStartRaw === null || zeroEndRaw === null
      ? null
      : (zeroEndRaw - zeroStartRaw) / line.sensitivityRawPerKpa;
  const own = standingPressures(board.checks).filter((reading) => reading.sensor === sensor);
  const entryOf = (when: When, appliedKpa: number, raw: number): PressureEntry => ({
    when,
    applied: appliedKpa,
    appliedUnit: 'kPa',
    appliedKpa,
    raw,
  });
  const zeros = [
    ...(zeroStartRaw === null ? [] : [entryOf('start', 0, zeroStartRaw)]),
    ...(zeroEndRaw === null ? [] : [entryOf('end', 0, zeroEndRaw)]),
  ];
  const readings = own.map(({ when, appliedKpa, raw }) => {
    const alone = pressureOutcome([...zeros, entryOf(when, appliedKpa, raw)], calibration, elsewhere);
    const errorKpa = when === 'start' ? (alone?.startKpa ?? null) : (alone?.endKpa ?? null);
    return { when, appliedKpa, readKpa: errorKpa === null ? null : appliedKpa + errorKpa, errorKpa };
  });
  const entries = own.map(({ when, appliedKpa, raw }) => entryOf(when, appliedKpa, raw));
  const check = pressureOutcome([...zeros, ...entries], calibration, elsewhere);
  const bare = { sensor, zeroStartRaw, zeroEndRaw, zeroShiftKpa, readings };
  if (line === null) return { ...bare, verdict: 'missing', says: unknownSays(sensor, elsewhere) };
  return { ...bare, ...judged(bare, check, input) };
}

type Scale = Pick<Calibration, 'sensitivityRawPerKpa'>;

/** What makes kPa of a sensor's raw values; null where nothing does. */
function lineOf(calibration: Calibration | null, elsewhere: Elsewhere | null): Scale | null {
  if (elsewhere === null) return calibration;
  return elsewhere.quantity === 'pressure' ? { sensitivityRawPerKpa: 1 / elsewhere.kpaPerUnit } : null;
}

function unknownSays(sensor: string, elsewhere: Elsewhere | null): string {
  return elsewhere === null
    ? `Sensor ${sensor} has no calibration that can be fitted, so its readings are not known in kPa. Calibrate it on the bench.`
    : `Sensor ${sensor} gives forces that were calibrated elsewhere, so a known pressure says nothing of it here. Check it where it was calibrated.`;
}

const AT = { start: 'at the start', end: 'at the end' } as const;

function judged(
  { sensor, zeroStartRaw, zeroEndRaw, zeroShiftKpa, readings }: Omit<KnownPressureReport, 'verdict' | 'says'>,
  check: SensorOutcome | null,
  { maxZeroShiftKpa, maxCheckDeviationKpa }: SensorDayInput,
): Pick<KnownPressureReport, 'verdict' | 'says'> {
  const limit = maxCheckDeviationKpa === null ? '' : ` (limit ${figures(maxCheckDeviationKpa, 2)} kPa)`;
  const errors = (['start', 'end'] as const).flatMap((when) => {
    const worstKpa = when === 'start' ? check?.startKpa : check?.endKpa;
    const worst = readings.find((one) => one.when === when && one.errorKpa === worstKpa);
    return worst?.errorKpa == null
      ? []
      : `${AT[when]} it reads ${signed(worst.errorKpa)} kPa off at ${figures(worst.appliedKpa)} kPa${limit}`;
  });
  const shift =
    zeroShiftKpa === null
      ? []
      : `its zero moved by ${signed(zeroShiftKpa)} kPa over the day${maxZeroShiftKpa === null ? '' : ` (limit ${maxZeroShiftKpa} kPa)`}`;
  const found = [shift, errors].flat().join(', and ');
  const shifted =
    zeroShiftKpa !== null && maxZeroShiftKpa !== null && Math.abs(zeroShiftKpa) > maxZeroShiftKpa;
  const off = pressureFails(check, maxCheckDeviationKpa);
  if (shifted || off === true)
    return {
      verdict: 'look',
      says: `Sensor ${sensor} has not held: ${found}. Calibrate it anew before it is used again, and look at the day’s trials with it${off === true ? ', which are flagged for it' : ''}.`,
    };
  const missing = [
    ...(zeroStartRaw === null ? ['the zero at the start'] : []),
    ...(zeroEndRaw === null ? ['the zero at the end'] : []),
    ...(readings.some(({ when }) => when === 'end') ? [] : ['a known pressure at the end']),
  ];
  if (missing.length > 0)
    return {
      verdict: 'missing',
      says: `Sensor ${sensor} cannot be judged whole: ${missing.join(' and ')} ${missing.length === 1 ? 'was' : 'were'} not read${found === '' ? '' : `; ${found}`}. Read what still can be read.`,
    };
  if (maxCheckDeviationKpa === null)
    return {
      verdict: 'unjudged',
      says: `Sensor ${sensor}: ${found}; the protocol sets no limit for a known pressure, so that is not judged. Set one in the protocol.`,
    };
  const atStart = readings.some(({ when }) => when === 'start');
  const rest = atStart ? '' : ' No known pressure was read at the start, so that is not judged.';
  return { verdict: 'holds', says: `Sensor ${sensor} has held: ${found}.${rest}` };
}
