/** The sensors of a day: their calibrations from calibration.csv, depth converted with the day's pool. */
import { addAll } from '../base/extent.ts';
import { type PressureUnit, waterOf, toKpa } from '../sensor/hydrostatics.ts';
import type { Sensor, Day } from './day.ts';
import {
  type CalibrationPoint,
  type Calibration,
  type CalibrationVerdict,
  type ReferenceError,
  calibrate,
  judgeCalibration,
} from '../sensor/calibration.ts';
import { type RowFault, type TextTable, ownFault, refuseWhere } from '../base/table.ts';
import type { Refusal } from '../base/refusal.ts';
import { RefusedRuns } from '../base/refusedruns.ts';
import type { Slices } from '../base/slices.ts';
import { keepFirst, readDayTable } from './tables.ts';

/** A point as the file gives it. */
export interface CalibrationEntry {
  readonly applied: number;
  readonly appliedUnit: PressureUnit;
  readonly raw: number;
  readonly direction: 'up' | 'down' | null;
  /** What the row states of the reference: standard, % of the applied pressure, and in the row's unit. */
  readonly referenceScaleUPct: number | null;
  readonly referenceZeroU: number | null;
}

export interface SensorCalibration {
  readonly sensor: Sensor;
  readonly points: readonly CalibrationPoint[];
  /** The same points as written in the file. */
  readonly entries: readonly CalibrationEntry[];
  readonly calibration: Calibration | null;
  readonly verdict: CalibrationVerdict;
}

/** Why a row in m_water cannot be used. */
export const DEPTH_NEEDS_WATER = {
  kind: 'own',
  rule: 'depth',
  says: 'applied_unit is "m_water"; a depth needs pool.water_temperature_c (0 to 40) and pool.latitude_deg in day.json: add them or give a pressure.',
} as const satisfies RowFault;

/** Tells why a row's sensor cannot be used; null where day.json knows it. */
export function unknownSensors(day: Day): (row: { readonly sensor: string }) => RowFault | null {
  const known = new Set(day.sensors.map(({ sensor }) => sensor));
  return ({ sensor }) =>
    known.has(sensor)
      ? null
      : ownFault(
          'sensor',
          `sensor is "${sensor}"; day.json has no such sensor: add it there or correct the code.`,
        );
}

/** Reads and fits every sensor of day.json; what cannot be used is added to `refused`. */
export function* calibrationsOf(
  day: Day,
  table: TextTable | undefined,
  refused: Refusal[],
): Slices<ReadonlyMap<string, SensorCalibration>> {
  const water = waterOf(day.pool);
  const points = new Map<string, CalibrationRow[]>();
  if (table !== undefined) {
    const given = yield* readDayTable('calibration', table);
    const read = yield* keepFirst(
      yield* refuseWhere(given, table.file, 'sensor', unknownSensors(day)),
      table.file,
      // Without a step number two equal rows may be two readings; each line is then a thing of its own.
      (row, line) =>
        row.step === ''
          ? `line ${line}`
          : [row.sensor, row.step, row.direction, row.applied, row.applied_unit, row.raw].join(' '),
      (row) => `step ${row.step} of ${row.sensor}`,
    );
    addAll(refused, read.refused);
    const depths = new RefusedRuns(table.file);
    for (const { line, value } of read.rows) {
      const appliedKpa = toKpa(value.applied, value.applied_unit, water);
      if (appliedKpa === null) {
        depths.add(line, 'applied_unit', 'depth', () => DEPTH_NEEDS_WATER.says);
        continue;
      }
      const list = points.get(value.sensor) ?? [];
      const { applied, applied_unit: appliedUnit, raw, direction } = value;
      const { reference_scale_u_pct: referenceScaleUPct, reference_zero_u: referenceZeroU } = value;
      list.push({
        applied,
        appliedUnit,
        appliedKpa,
        raw,
        direction,
        referenceScaleUPct,
        referenceZeroU,
        referenceZeroUKpa: referenceZeroU === null ? 0 : toKpa(referenceZeroU, appliedUnit, water)!,
      });
      points.set(value.sensor, list);
    }
    addAll(refused, depths.list());
  }
  const calibrations = new Map<string, SensorCalibration>();
  for (const sensor of day.sensors) {
    const own = points.get(sensor.sensor) ?? [];
    const calibration = calibrate(own, sensor.rangeKpa, referenceOf(own));
    if (calibration === null && own.length > 0) {
      const reason = `The calibration of ${sensor.sensor} cannot be fitted: it needs two different pressures and a raw value that changes with them. Its hand has no force.`;
      refused.push({ file: table!.file, line: null, field: sensor.sensor, reason });
    }
    calibrations.set(sensor.sensor, {
      sensor,
      points: own.map(({ appliedKpa, raw, direction }) => ({ appliedKpa, raw, direction })),
      entries: own.map(({ appliedKpa: _kpa, referenceZeroUKpa: _zero, ...entry }) => entry),
      calibration,
      verdict: own.length === 0 ? 'missing' : judgeCalibration(calibration),
    });
  }
  return calibrations;
}

type CalibrationRow = CalibrationEntry & CalibrationPoint & { readonly referenceZeroUKpa: number };

/** What all rows of a sensor share: the largest that one of them states. */
function referenceOf(rows: readonly CalibrationRow[]): ReferenceError {
  let [scaleUPct, zeroUKpa] = [0, 0];
  for (const row of rows) {
    scaleUPct = Math.max(scaleUPct, row.referenceScaleUPct ?? 0);
    zeroUKpa = Math.max(zeroUKpa, row.referenceZeroUKpa);
  }
  return { scaleUPct, zeroUKpa };
}
