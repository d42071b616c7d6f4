/**
 * Known pressures read with each sensor at the start and the end of a day, held against what the sensor should say.
 * Contract: formats.md section 1, checks.csv.
 */
import { addAll } from '../base/extent.ts';
import { type PressureUnit, toKpa, waterOf } from '../sensor/hydrostatics.ts';
import type { Calibration } from '../sensor/calibration.ts';
import type { Elsewhere } from './elsewhere.ts';
import type { Day } from './day.ts';
import { type TextTable, refuseWhere } from '../base/table.ts';
import type { Refusal } from '../base/refusal.ts';
import type { Slices } from '../base/slices.ts';
import { keepFirst, readDayTable } from './tables.ts';
import { DEPTH_NEEDS_WATER, unknownSensors } from './sensors.ts';

/** A known pressure, or the zero (applied 0), as the file gives it, and in kPa. */
export interface PressureEntry {
  readonly when: 'start' | 'end';
  readonly applied: number;
  readonly appliedUnit: PressureUnit;
  readonly appliedKpa: number;
  readonly raw: number;
}

/** By how much a sensor read known pressures wrongly, kPa: the largest deviation; null where nothing was read. */
export interface SensorOutcome {
  readonly startKpa: number | null;
  readonly endKpa: number | null;
}

/** Reads checks.csv by sensor, in the file's order; what cannot be used is added to `refused`. */
export function* checksOf(
  day: Day,
  table: TextTable | undefined,
  refused: Refusal[],
): Slices<ReadonlyMap<string, readonly PressureEntry[]>> {
  const checks = new Map<string, PressureEntry[]>();
  if (table === undefined) return checks;
  const water = waterOf(day.pool);
  const { file } = table;
  const given = yield* readDayTable('checks', table);
  const known = yield* refuseWhere(given, file, 'sensor', unknownSensors(day));
  const placed = yield* refuseWhere(known, file, 'applied_unit', ({ applied, applied_unit: unit }) =>
    toKpa(applied, unit, water) === null ? DEPTH_NEEDS_WATER : null,
  );
  const read = yield* keepFirst(
    placed,
    file,
    ({ sensor, when, applied, applied_unit: unit }) =>
      // Unit conversion leaves dust: nine figures tell pressures apart.
      `${sensor} ${when} ${toKpa(applied, unit, water)!.toPrecision(9)}`,
    ({ sensor, when, applied, applied_unit: unit }) =>
      `what ${sensor} reads at ${applied} ${unit} at the ${when}`,
  );
  addAll(refused, read.refused);
  for (const { value } of read.rows) {
    const { sensor, when, applied, applied_unit: appliedUnit, raw } = value;
    const own = checks.get(sensor) ?? [];
    own.push({ when, applied, appliedUnit, appliedKpa: toKpa(applied, appliedUnit, water)!, raw });
    checks.set(sensor, own);
  }
  return checks;
}

/**
 * The check of a sensor: the deviation of largest size at the start and at the end of the day. The zero of each is its
 * row with nothing applied, else the calibration's intercept. Null where nothing can be checked: no reading, no
 * calibration, or values that were calibrated elsewhere as force.
 */
export function pressureOutcome(
  entries: readonly PressureEntry[],
  calibration: Pick<Calibration, 'interceptRaw' | 'sensitivityRawPerKpa'> | null,
  elsewhere: Elsewhere | null,
): SensorOutcome | null {
  const line =
    elsewhere === null
      ? calibration
      : elsewhere.quantity === 'pressure'
        ? { interceptRaw: 0, sensitivityRawPerKpa: 1 / elsewhere.kpaPerUnit }
        : null;
  if (line === null) return null;
  const at = (when: PressureEntry['when']) => {
    const own = entries.filter((entry) => entry.when === when);
    const zero = own.find(({ appliedKpa }) => appliedKpa === 0)?.raw ?? line.interceptRaw;
    let worst: number | null = null;
    for (const { appliedKpa, raw } of own) {
      if (appliedKpa === 0) continue;
      const deviation = (raw - zero) / line.sensitivityRawPerKpa - appliedKpa;
      if (worst === null || Math.abs(deviation) > Math.abs(worst)) worst = deviation;
    }
    return worst;
  };
  const check = { startKpa: at('start'), endKpa: at('end') };
  return check.startKpa === null && check.endKpa === null ? null : check;
}

/** What a sensor's column holds by day.json: the column that names it, else that of the hand it is worn on. */
export function elsewhereOf({ traceColumns, sensors }: Day, sensor: string): Elsewhere | null {
  const { left, right } = traceColumns;
  const named = [left, right].find((column) => column?.sensor === sensor);
  if (named) return named.elsewhere;
  const hand = sensors.find((one) => one.sensor === sensor)?.hand ?? null;
  return hand === null ? null : (traceColumns[hand]?.elsewhere ?? null);
}

/** True where a check is further off than the protocol allows; null where there is nothing to judge. */
export function pressureFails(check: SensorOutcome | null, limitKpa: number | null): boolean | null {
  if (check === null || limitKpa === null) return null;
  return [check.startKpa, check.endKpa].some((kpa) => kpa !== null && Math.abs(kpa) > limitKpa);
}
