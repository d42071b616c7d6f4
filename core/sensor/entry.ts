/**
 * What can be wrong with what a person enters at the bench, each in a sentence of its own: what is wrong, and what
 * to do. Nothing is thrown away; the point stays as entered until it is put right or set aside.
 */
import { largest, smallest } from '../base/extent.ts';
import { type WaterColumn, type PressureUnit, waterDensity, toKpa, PRESSURE_UNITS } from './hydrostatics.ts';
import { fitLine } from '../base/statistics.ts';
import { figures } from '../base/words.ts';

export type BenchFaultCode =
  | 'temperature_outside'
  | 'column_height_wrong'
  | 'depth_outside'
  | 'water_unknown'
  | 'saturated'
  | 'raw_outside'
  | 'one_point'
  | 'all_equal'
  | 'mixed_units'
  | 'reversed'
  | 'raw_unchanged'
  | 'far_from_history';

/** One thing that is wrong, and the field it is about. */
export interface BenchFault {
  readonly code: BenchFaultCode;
  readonly field: 'waterTemperatureC' | 'columnHeightM' | 'applied' | 'appliedUnit' | 'raw' | 'points';
  /** One sentence: what is wrong. */
  readonly says: string;
  /** One sentence: what to do. */
  readonly todo: string;
}

/** The bench as set up. */
export interface BenchSetting {
  /** Height of the water column, m; null where none is used or it is not known. */
  readonly columnHeightM: number | null;
  /** °C; null where not given. */
  readonly waterTemperatureC: number | null;
  /** The water, for depths; null where it is not known. */
  readonly water: WaterColumn | null;
  /** Limits of the sensor's raw value; null where not known. */
  readonly rawMin: number | null;
  readonly rawMax: number | null;
  /** Mean sensitivity of the sensor's accepted calibrations, raw/kPa; null without one. */
  readonly historyRawPerKpa: number | null;
}

/** A point as entered. */
export interface BenchEntry {
  readonly applied: number;
  readonly appliedUnit: PressureUnit;
  readonly raw: number;
  readonly run: number;
  readonly setAside: string | null;
  /** True where a person asked for the point although its raw value lies beyond the sensor's limits. */
  readonly asked?: boolean | undefined;
}

/**
 * Why a point takes no part in the line: a person set it aside, or its raw value lies beyond the sensor's limits and
 * nobody asked for it; null where it takes part.
 */
export function leftOutBecause(
  { raw, setAside, asked }: BenchEntry,
  { rawMin, rawMax }: Pick<BenchSetting, 'rawMin' | 'rawMax'>,
): string | null {
  if (setAside !== null) return setAside;
  const beyond = (rawMin !== null && raw < rawMin) || (rawMax !== null && raw > rawMax);
  return beyond && asked !== true ? 'its raw value lies beyond the sensor’s limits' : null;
}

/** What is wrong with the setting of the bench itself. */
export function settingFaults(setting: BenchSetting): readonly BenchFault[] {
  const faults: BenchFault[] = [];
  const { waterTemperatureC, columnHeightM } = setting;
  if (waterTemperatureC !== null && waterDensity(waterTemperatureC) === null)
    faults.push({
      code: 'temperature_outside',
      field: 'waterTemperatureC',
      says: `The water temperature is ${waterTemperatureC} °C; the density of water is known here from 0 to 40 °C.`,
      todo: 'Read the thermometer again; in °F, take 32 off and multiply by 5/9.',
    });
  if (columnHeightM !== null && !(columnHeightM > 0))
    faults.push({
      code: 'column_height_wrong',
      field: 'columnHeightM',
      says: `The water column is ${columnHeightM} m high; it must be higher than 0 m.`,
      todo: 'Measure from the bottom of the column to the water’s surface, in m.',
    });
  return faults;
}

/** What is wrong with one point. Raw in the sensor's raw unit, depth in m. */
export function pointFaults(entry: BenchEntry, setting: BenchSetting): readonly BenchFault[] {
  const faults: BenchFault[] = [];
  const { applied, appliedUnit, raw } = entry;
  const { columnHeightM, rawMin, rawMax } = setting;
  if (appliedUnit === 'm_water' && (applied < 0 || (columnHeightM !== null && applied > columnHeightM)))
    faults.push({
      code: 'depth_outside',
      field: 'applied',
      says:
        applied < 0
          ? `The depth is ${applied} m, above the water’s surface.`
          : `The depth is ${applied} m in a column that is ${columnHeightM} m high.`,
      todo: 'Read the depth below the surface again, in m and not in cm, or correct the height of the column.',
    });
  if (appliedUnit === 'm_water' && setting.water === null)
    faults.push({
      code: 'water_unknown',
      field: 'appliedUnit',
      says: 'A depth gives a pressure only where the water’s density and the local gravity are known.',
      todo: 'Enter the water temperature (0 to 40 °C) and the latitude (−90 to 90°), or give a pressure.',
    });
  if ((rawMin !== null && raw < rawMin) || (rawMax !== null && raw > rawMax))
    faults.push({
      code: 'raw_outside',
      field: 'raw',
      says: `The raw value ${raw} lies outside the sensor’s limits of ${rawMin ?? 'any'} to ${rawMax ?? 'any'}.`,
      todo: 'Type the raw value again, or correct the limits in the sensor’s register entry.',
    });
  else if (raw === rawMin || raw === rawMax)
    faults.push({
      code: 'saturated',
      field: 'raw',
      says: `The raw value ${raw} is the sensor’s ${raw === rawMin ? 'lower' : 'upper'} limit: the reading is saturated.`,
      todo: 'Set the point aside and use a pressure nearer to the middle of the range.',
    });
  return faults;
}

/** A sensitivity so many times its history, or that part of it, is no drift: units differ by more, sensors by less. */
const NO_DRIFT = 3;

/** A unit explains a sensitivity where it brings it to within this part of the history. */
const UNIT_FITS = 0.1;

/** What is wrong with the points together; points set aside take no part. */
export function runFaults(entries: readonly BenchEntry[], setting: BenchSetting): readonly BenchFault[] {
  const used = entries.filter((entry) => entry.setAside === null);
  const faults = mixedUnits(used);
  if (used.length === 0) return faults;
  if (used.length === 1)
    return [
      ...faults,
      {
        code: 'one_point',
        field: 'points',
        says: 'There is one point; a line needs two different pressures.',
        todo: 'Add a point at another pressure.',
      },
    ];
  const kpa = used.map((entry) => toKpa(entry.applied, entry.appliedUnit, setting.water));
  if (kpa.some((value) => value === null)) return faults;
  const applied = kpa as readonly number[];
  const line = fitLine(
    applied,
    used.map(({ raw }) => raw),
  );
  // Unit conversion leaves dust on equal pressures.
  const spread = largest(applied) - smallest(applied);
  if (line === null || spread <= 1e-9 * largest(applied.map(Math.abs)))
    return [
      ...faults,
      {
        code: 'all_equal',
        field: 'points',
        says: `All ${used.length} points were read at the same pressure; they give no sensitivity.`,
        todo: 'Add points at other pressures, spread over the sensor’s range.',
      },
    ];
  return [...faults, ...slopeFaults(line.slope, used, setting)];
}

function mixedUnits(used: readonly BenchEntry[]): BenchFault[] {
  return [...Map.groupBy(used, ({ run }) => run)].flatMap(([run, points]) => {
    const units = [...new Set(points.map(({ appliedUnit }) => appliedUnit))];
    if (units.length < 2) return [];
    return [
      {
        code: 'mixed_units' as const,
        field: 'appliedUnit' as const,
        says: `Run ${run} mixes the units ${units.join(', ')}; one of them is probably a slip.`,
        todo: 'Give every point of a run in the same unit.',
      },
    ];
  });
}

function slopeFaults(slope: number, used: readonly BenchEntry[], setting: BenchSetting): BenchFault[] {
  if (slope === 0)
    return [
      {
        code: 'raw_unchanged',
        field: 'raw',
        says: 'The raw value does not change with the pressure.',
        todo: 'Check that the sensor is connected, that its tube is open and that the right channel was read.',
      },
    ];
  const faults: BenchFault[] = [];
  const { historyRawPerKpa: history } = setting;
  if (slope < 0)
    faults.push({
      code: 'reversed',
      field: 'points',
      says: 'The raw value falls as the pressure rises: the sensor reads backward.',
      todo: 'Check which tap the pressure was applied to, and swap the tubes or the sign at the logger.',
    });
  if (history === null || history === 0) return faults;
  const ratio = Math.abs(slope / history);
  if (ratio <= NO_DRIFT && ratio >= 1 / NO_DRIFT) return faults;
  const fits = unitThatFits(ratio, used, setting.water);
  faults.push({
    code: 'far_from_history',
    field: 'appliedUnit',
    says: `The sensitivity is ${figures(ratio)} times that of the sensor’s history. Is the unit right?`,
    todo:
      fits === null
        ? 'Check the unit of the applied pressure, the unit of the raw value, and that this is the sensor it is said to be.'
        : `The readings agree with the history if the pressures were in ${fits}; choose it if that is so.`,
  });
  return faults;
}

/** The unit in which the entered pressures would give the history's sensitivity; null where none does. */
function unitThatFits(
  ratio: number,
  used: readonly BenchEntry[],
  water: WaterColumn | null,
): PressureUnit | null {
  const entered = used[0]!.appliedUnit;
  if (used.some(({ appliedUnit }) => appliedUnit !== entered)) return null;
  const one = toKpa(1, entered, water);
  if (one === null) return null;
  const misfit = (unit: PressureUnit) => {
    const other = toKpa(1, unit, water);
    return other === null ? Infinity : Math.abs((ratio * one) / other - 1);
  };
  const best = PRESSURE_UNITS.toSorted((a, b) => misfit(a) - misfit(b))[0]!;
  return best !== entered && misfit(best) <= UNIT_FITS ? best : null;
}
