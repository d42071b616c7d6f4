/**
 * Zeros and known pressures of a day, by hand: raw = 1000 + 100 × kPa exactly. The rule is that of formats.md, checks.csv:
 * deviation = (raw − zero)/S − applied at each end of the day, by the zero of that end, else by the intercept.
 */
import { describe, expect, test } from 'vitest';
import { depthToKpa, localGravity, toKpa, waterDensity } from '../../../core/sensor/hydrostatics.ts';
import { reportKnownPressures, standingPressures } from '../../../core/deck/knownpressure.ts';
import type { AssignedSensor, KnownPressure, DayZero } from '../../../core/deck/deck.ts';
import type { Elsewhere } from '../../../core/day/elsewhere.ts';

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
    reference: { scale: 0, zeroKpa: 0 },
  },
};

function zero(when: DayZero['when'], raw: number, sensor = 'S-01'): DayZero {
  return { sensor, when, raw, atMs: 0 };
}

function reading(
  appliedKpa: number,
  raw: number,
  when: KnownPressure['when'] = 'end',
  sensor = 'S-01',
): KnownPressure {
  return { sensor, when, appliedKpa, raw, atMs: 0 };
}

function check(
  zeros: readonly DayZero[],
  checks: readonly KnownPressure[],
  wish: Partial<Parameters<typeof reportKnownPressures>[0]> = {},
) {
  return reportKnownPressures({
    sensor: SENSOR,
    board: { zeros, checks },
    maxZeroShiftKpa: 0.15,
    maxCheckDeviationKpa: 0.3,
    elsewhere: null,
    ...wish,
  });
}

const BOTH = [zero('start', 1002), zero('end', 1010)];

describe('worked by hand', () => {
  test('zero 1002 in the morning, 1010 at night: each pressure by the zero of its own end', () => {
    const found = check(BOTH, [reading(5, 1512, 'start'), reading(5, 1520)]);
    expect(found.zeroShiftKpa!).toBeCloseTo(0.08, 12);
    expect(found.readings.map(({ when }) => when)).toEqual(['start', 'end']);
    expect(found.readings[0]!.readKpa!).toBeCloseTo(5.1, 12);
    expect(found.readings[1]!.readKpa!).toBeCloseTo(5.1, 12);
    expect(found.readings[1]!.errorKpa!).toBeCloseTo(0.1, 12);
    expect(found.verdict).toBe('holds');
    expect(found.says).toBe(
      'Sensor S-01 has held: its zero moved by +0.08 kPa over the day (limit 0.15 kPa), and at the start it reads +0.10 kPa off at 5 kPa (limit 0.3 kPa), and at the end it reads +0.10 kPa off at 5 kPa (limit 0.3 kPa).',
    );
  });

  test('an end zero never judges a start reading: without a start zero that is the intercept', () => {
    // By the end's zero it would be (1531 − 1040)/100 = 4.91 kPa, within 0.3; by the intercept 5.31 kPa, beyond it.
    const found = check([zero('end', 1040)], [reading(5, 1531, 'start')]);
    expect(found.readings[0]!.errorKpa!).toBeCloseTo(0.31, 12);
    expect(found.verdict).toBe('look');
    expect(check([zero('start', 1005)], [reading(5, 1510)]).readings[0]!.readKpa!).toBeCloseTo(5.1, 12);
  });

  test('just within and just beyond the protocol’s limit', () => {
    const zeros = [zero('start', 1000), zero('end', 1000)];
    expect(check(zeros, [reading(5, 1500, 'start'), reading(10, 2029.9)]).verdict).toBe('holds');
    const off = check(zeros, [reading(5, 1500, 'start'), reading(5, 1500), reading(10, 1969)]);
    expect(off.verdict).toBe('look');
    expect(off.says).toMatch(
      /has not held: .*at the end it reads −0\.31 kPa off at 10 kPa \(limit 0\.3 kPa\)\. Calibrate it anew .*trials with it, which are flagged for it\.$/,
    );
    const wider = { maxCheckDeviationKpa: 0.4 };
    expect(check(zeros, [reading(5, 1500, 'start'), reading(10, 1969)], wider).verdict).toBe('holds');
  });

  test('without a limit nothing fails, and it is said', () => {
    const found = check(BOTH, [reading(5, 1700, 'start'), reading(5, 1520)], { maxCheckDeviationKpa: null });
    expect(found.verdict).toBe('unjudged');
    expect(found.says).toContain('the protocol sets no limit for a known pressure');
  });

  test('a zero that moved too far', () => {
    const zeros = [zero('start', 1000), zero('end', 984)];
    const readings = [reading(5, 1500, 'start'), reading(5, 1484)];
    const found = check(zeros, readings);
    expect(found.zeroShiftKpa!).toBeCloseTo(-0.16, 12);
    expect(found.verdict).toBe('look');
    expect(found.says).not.toContain('flagged');
    expect(check(zeros, readings, { maxZeroShiftKpa: null }).verdict).toBe('holds');
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
});

describe('calibrated elsewhere', () => {
  const shared = { filter: true, scaleUPct: null };
  const mbar: Elsewhere = { quantity: 'pressure', unit: 'mbar', kpaPerUnit: 0.1, ...shared };
  const newtons: Elsewhere = { quantity: 'force', unit: 'N', newtonsPerUnit: 1, ...shared };
  const bare = { ...SENSOR, calibration: null };

  test('as pressure: intercept 0 and a scale of 1 in its unit', () => {
    const found = check([zero('end', 2)], [reading(5, 51, 'start'), reading(5, 51)], {
      sensor: bare,
      elsewhere: mbar,
    });
    expect(found.readings.map(({ readKpa }) => readKpa!)).toEqual([
      expect.closeTo(5.1, 12),
      expect.closeTo(4.9, 12),
    ]);
  });

  test('as force: not at all', () => {
    const found = check([], [reading(5, 51)], { sensor: bare, elsewhere: newtons });
    expect(found).toMatchObject({ verdict: 'missing', readings: [{ readKpa: null, errorKpa: null }] });
    expect(found.says).toContain('calibrated elsewhere');
  });
});

describe('readings that count', () => {
  test('are the latest of one sensor, end and pressure, whatever dust a unit leaves', () => {
    const dust = 4.903325 * (1 + 1e-13);
    const all = [
      reading(4.903325, 1, 'start'),
      reading(4.903325, 2),
      reading(dust, 3),
      reading(5, 4, 'end', 'X'),
    ];
    expect(standingPressures(all).map(({ raw }) => raw)).toEqual([1, 3, 4]);
  });

  test('are the sensor’s own', () => {
    const found = check([zero('end', 1400, 'S-02')], [reading(5, 1500, 'end', 'S-02')]);
    expect(found).toMatchObject({ zeroEndRaw: null, readings: [], zeroShiftKpa: null });
  });
});

describe('what is missing', () => {
  test('is named; what is there is still held against its limit', () => {
    expect(check([], [])).toMatchObject({
      verdict: 'missing',
      says: 'Sensor S-01 cannot be judged whole: the zero at the start and the zero at the end and a known pressure at the end were not read. Read what still can be read.',
    });
    const early = check([zero('start', 1000), zero('end', 1000)], [reading(5, 1500, 'start')]);
    expect(early.says).toMatch(/a known pressure at the end was not read; its zero/);
    const late = check([zero('start', 1000), zero('end', 1000)], [reading(5, 1500)]);
    expect(late).toMatchObject({ verdict: 'holds' });
    expect(late.says).toMatch(/No known pressure was read at the start/);
    expect(check([zero('end', 1000)], [reading(5, 1600)]).verdict).toBe('look');
  });

  test('without a calibration nothing is known in kPa', () => {
    const found = check([zero('start', 1000), zero('end', 1005)], [reading(5, 1500)], {
      sensor: { ...SENSOR, calibration: null },
    });
    expect(found).toMatchObject({
      verdict: 'missing',
      zeroStartRaw: 1000,
      zeroEndRaw: 1005,
      zeroShiftKpa: null,
      readings: [{ appliedKpa: 5, readKpa: null, errorKpa: null }],
    });
  });
});
