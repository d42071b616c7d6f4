/** What can be wrong with what is entered on the bench, said beside its field. */
import { describe, expect, test } from 'vitest';
import {
  runFaults,
  pointFaults,
  settingFaults,
  type BenchEntry,
  type BenchSetting,
} from '../../../core/sensor/entry.ts';
import { STEPS } from './runs.ts';

describe('what can be wrong with what is entered', () => {
  const setting: BenchSetting = {
    columnHeightM: 1.5,
    waterTemperatureC: 26,
    water: { densityKgM3: 996.78574, gravityMS2: 9.80665 },
    rawMin: 0,
    rawMax: 65_535,
    historyRawPerKpa: 600,
  };
  const entry = (applied: number, raw: number, more: Partial<BenchEntry> = {}): BenchEntry => ({
    applied,
    raw,
    appliedUnit: 'kPa',
    run: 1,
    setAside: null,
    ...more,
  });
  const codes = (faults: readonly { code: string; says: string; todo: string }[]) => {
    for (const { says, todo } of faults) expect([says, todo].every((text) => /[.?]$/.test(text))).toBe(true);
    return faults.map(({ code }) => code);
  };

  test('the setting', () => {
    expect(codes(settingFaults(setting))).toEqual([]);
    for (const waterTemperatureC of [-0.1, 40.1, 78])
      expect(codes(settingFaults({ ...setting, waterTemperatureC }))).toEqual(['temperature_outside']);
    expect(codes(settingFaults({ ...setting, columnHeightM: 0 }))).toEqual(['column_height_wrong']);
  });

  test('a point', () => {
    const depth = (m: number) => entry(m, 9000, { appliedUnit: 'm_water' });
    expect(codes(pointFaults(depth(1.5), setting))).toEqual([]);
    expect(codes(pointFaults(depth(1.51), setting))).toEqual(['depth_outside']);
    expect(codes(pointFaults(depth(-0.1), setting))).toEqual(['depth_outside']);
    expect(codes(pointFaults(depth(1), { ...setting, water: null }))).toEqual(['water_unknown']);
    expect(codes(pointFaults(entry(5, 65_535), setting))).toEqual(['saturated']);
    expect(codes(pointFaults(entry(5, 0), setting))).toEqual(['saturated']);
    expect(codes(pointFaults(entry(5, 65_536), setting))).toEqual(['raw_outside']);
    expect(codes(pointFaults(entry(5, -1), { ...setting, rawMin: null }))).toEqual([]);
  });

  test('the points together', () => {
    const line = (sensitivity: number, more: Partial<BenchEntry> = {}) =>
      STEPS.map((kpa) => entry(kpa, 8000 + sensitivity * kpa, more));
    expect(codes(runFaults([], setting))).toEqual([]);
    expect(codes(runFaults(line(600), setting))).toEqual([]);
    expect(codes(runFaults([entry(5, 9000)], setting))).toEqual(['one_point']);
    expect(codes(runFaults([entry(5, 9000), entry(9, 1, { setAside: 'x' })], setting))).toEqual([
      'one_point',
    ]);
    expect(codes(runFaults([entry(5, 9000), entry(5, 9001)], setting))).toEqual(['all_equal']);
    expect(codes(runFaults([entry(0.1, 1), entry(0.1, 2), entry(0.1, 4)], setting))).toEqual(['all_equal']);
    expect(codes(runFaults([...line(600), entry(10, 8800, { appliedUnit: 'mbar' })], setting))).toContain(
      'mixed_units',
    );
    expect(codes(runFaults([...line(600), ...line(600, { run: 2 })], setting))).toEqual([]);
    expect(codes(runFaults(line(-600), setting))).toEqual(['reversed']);
    expect(codes(runFaults(line(0), setting))).toEqual(['raw_unchanged']);
  });

  test('far from its history, with the unit that would explain it', () => {
    // 600 raw/kPa is 60 raw/mbar: pressures read in mbar and entered as kPa.
    const mbar = runFaults(
      STEPS.map((kpa) => entry(10 * kpa, 8000 + 600 * kpa)),
      setting,
    );
    expect(codes(mbar)).toEqual(['far_from_history']);
    expect(mbar[0]!.says).toContain('Is the unit right?');
    // cmH2O and mbar differ by 2 %, so the nearer of the two is named.
    expect(mbar[0]!.todo).toContain('mbar');
    const psi = runFaults(
      STEPS.map((kpa) => entry(kpa / 6.894757, 8000 + 600 * kpa)),
      setting,
    );
    expect(psi[0]!.todo).toContain('psi');
    const none = runFaults(
      STEPS.map((kpa) => entry(kpa, 8000 + 2500 * kpa)),
      setting,
    );
    expect(none[0]!.todo).toContain('the sensor it is said to be');
    expect(
      codes(
        runFaults(
          STEPS.map((kpa) => entry(kpa, 5 + 6 * kpa)),
          { ...setting, historyRawPerKpa: null },
        ),
      ),
    ).toEqual([]);
  });
});
