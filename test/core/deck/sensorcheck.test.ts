/**
 * The end-of-day check of a sensor, against examples worked by hand and the pressure of a water column: 1 cmH2O is
 * 98.0665 Pa (NIST SP 811, appendix B).
 */
import { describe, expect, test } from 'vitest';
import { checkSensorDay, MOST_ERROR_PCT_FS } from '../../../core/deck/sensorcheck.ts';
import type { AssignedSensor, CheckReading, DayZero } from '../../../core/deck/deck.ts';
import { depthToKpa, localGravity, toKpa, waterDensity } from '../../../core/sensor/hydrostatics.ts';

/** raw = 1000 + 100 × kPa exactly, range 15 kPa. */
const SENSOR: AssignedSensor = {
  sensor: 'S-01',
  hand: 'left',
  rangeKpa: 15,
  rawUnit: 'count',
  rawMin: 0,
  rawMax: 65535,
  calibration: {
    id: 1,
    at: '2026-03-13T10:00:00Z',
    verdict: 'accepted',
    points: [0, 5, 10, 15].map((appliedKpa) => ({
      appliedKpa,
      raw: 1000 + 100 * appliedKpa,
      direction: 'up',
    })),
  },
};

function zero(when: DayZero['when'], raw: number, sensor = 'S-01'): DayZero {
  return { sensor, when, raw, atMs: 0 };
}

function reading(appliedKpa: number, raw: number, sensor = 'S-01'): CheckReading {
  return { sensor, appliedKpa, raw, atMs: 0 };
}

function check(
  zeros: readonly DayZero[],
  readings: readonly CheckReading[],
  sensor: AssignedSensor = SENSOR,
  limits: { maxZeroShiftKpa?: number | null; maxErrorPctFs?: number } = {},
) {
  return checkSensorDay({ sensor, zeros, readings, maxZeroShiftKpa: 0.15, ...limits });
}

describe('worked by hand', () => {
  test('zero 1002 in the morning, 1010 at night, 1520 at 5 kPa: +0.08 kPa shift, 5.10 kPa read, +0.10 kPa off', () => {
    const found = check([zero('start', 1002), zero('end', 1010)], [reading(5, 1520)]);
    expect(found.zeroShiftKpa!).toBeCloseTo(0.08, 12);
    expect(found.readings[0]!.readKpa!).toBeCloseTo(5.1, 12);
    expect(found.readings[0]!.errorKpa!).toBeCloseTo(0.1, 12);
    // Allowed: 2 % of 15 kPa are 0.30 kPa.
    expect(found.verdict).toBe('holds');
    expect(found.says).toBe(
      'Sensor S-01 has held: its zero moved by +0.08 kPa over the day (limit 0.15 kPa), and at 5 kPa it reads +0.10 kPa off (limit 0.3 kPa).',
    );
  });

  test('just within and just beyond 2 % of full scale', () => {
    const zeros = [zero('start', 1000), zero('end', 1000)];
    expect(MOST_ERROR_PCT_FS).toBe(2);
    expect(check(zeros, [reading(10, 2029.9)]).verdict).toBe('holds');
    const off = check(zeros, [reading(5, 1500), reading(10, 1969)]);
    expect(off.verdict).toBe('look');
    expect(off.says).toMatch(
      /has not held: .*at 10 kPa it reads −0\.31 kPa off \(limit 0\.3 kPa\)\. Calibrate it anew/,
    );
    expect(check(zeros, [reading(10, 1969)], SENSOR, { maxErrorPctFs: 3 }).verdict).toBe('holds');
  });

  test('a zero that moved too far', () => {
    const found = check([zero('start', 1000), zero('end', 984)], [reading(5, 1484)]);
    expect(found.zeroShiftKpa!).toBeCloseTo(-0.16, 12);
    expect(found.verdict).toBe('look');
    expect(
      check([zero('start', 1000), zero('end', 984)], [reading(5, 1484)], SENSOR, { maxZeroShiftKpa: null })
        .verdict,
    ).toBe('holds');
  });

  test('never less than three residual standard deviations are allowed', () => {
    // Residuals −40, +40, +40, −40 raw about raw = 1000 + 100 × kPa, which stays the line: SD √(4·40²/2) = 56.6 raw,
    // 0.566 kPa; three of them are 1.70 kPa, more than 2 % of 15 kPa.
    const residuals = [-40, 40, 40, -40];
    const points = SENSOR.calibration!.points.map((point, k) => ({
      ...point,
      raw: point.raw + residuals[k]!,
    }));
    const rough = { ...SENSOR, calibration: { ...SENSOR.calibration!, points } };
    const zeros = [zero('start', 1000), zero('end', 1000)];
    expect(check(zeros, [reading(5, 1669)], rough).verdict).toBe('holds');
    expect(check(zeros, [reading(5, 1671)], rough).verdict).toBe('look');
  });
});

test('a water column: half a metre at 27 °C, and 50 cmH2O', () => {
  const water = { densityKgM3: waterDensity(27)!, gravityMS2: localGravity(54.3, 12)! };
  // 996.51 kg/m³ × 9.815 m/s² × 0.5 m = 4.890 kPa; 50 × 98.0665 Pa = 4.903 kPa.
  const depth = depthToKpa(0.5, water);
  expect(depth).toBeCloseTo(4.89, 2);
  const conventional = toKpa(50, 'cmH2O', null)!;
  expect(conventional).toBeCloseTo(4.903325, 9);
  const found = check(
    [zero('start', 1000), zero('end', 1000)],
    [reading(depth, 1489), reading(conventional, 1490)],
  );
  expect(found.readings[0]!.errorKpa!).toBeCloseTo(4.89 - depth, 9);
  expect(found.readings[1]!.errorKpa!).toBeCloseTo(4.9 - 4.903325, 9);
  expect(found.verdict).toBe('holds');
});

describe('the zero that a reading takes', () => {
  const readKpa = (zeros: readonly DayZero[]) => check(zeros, [reading(5, 1510)]).readings[0]!.readKpa!;

  test('the end, else the start, else the calibration’s; the last reading of each counts', () => {
    expect(readKpa([zero('start', 1005), zero('end', 1010)])).toBeCloseTo(5, 12);
    expect(readKpa([zero('start', 1005)])).toBeCloseTo(5.05, 12);
    expect(readKpa([])).toBeCloseTo(5.1, 12);
    expect(readKpa([zero('end', 1500), zero('end', 1010)])).toBeCloseTo(5, 12);
  });

  test('rows of other sensors are passed over', () => {
    const found = check([zero('end', 1400, 'S-02')], [reading(5, 1500, 'S-02')]);
    expect(found).toMatchObject({ zeroEndRaw: null, readings: [], zeroShiftKpa: null });
  });
});

describe('what is missing', () => {
  test('is named; what is there is still held against its limit', () => {
    expect(check([], [])).toMatchObject({
      verdict: 'missing',
      says: 'Sensor S-01 cannot be judged whole: the zero at the start and the zero at the end and a known pressure were not read. Read what still can be read.',
    });
    expect(check([zero('start', 1000)], [reading(5, 1500)]).says).toMatch(
      /the zero at the end was not read; at 5 kPa/,
    );
    expect(check([zero('start', 1000), zero('end', 1000)], []).verdict).toBe('missing');
    expect(check([zero('end', 1000)], [reading(5, 1600)]).verdict).toBe('look');
  });

  test('without a calibration nothing is known in kPa', () => {
    const found = check([zero('start', 1000), zero('end', 1005)], [reading(5, 1500)], {
      ...SENSOR,
      calibration: null,
    });
    expect(found).toMatchObject({
      verdict: 'missing',
      zeroStartRaw: 1000,
      zeroEndRaw: 1005,
      zeroShiftKpa: null,
      readings: [{ appliedKpa: 5, readKpa: null, errorKpa: null }],
    });
  });

  test('neither range nor scatter: no limit, and it is said', () => {
    const points = SENSOR.calibration!.points.slice(0, 2);
    const bare = { ...SENSOR, rangeKpa: null, calibration: { ...SENSOR.calibration!, points } };
    const found = check([zero('start', 1000), zero('end', 1000)], [reading(5, 1500)], bare);
    expect(found.verdict).toBe('look');
    expect(found.says).toMatch(/no limit to hold that against/);
  });
});
