/** From raw samples to the forces of a stroke (formats.md section 2); integrals are checked in test/reference. */
import { describe, expect, test } from 'vitest';
import {
  forceSymmetryPct,
  handForce,
  peakForceU,
  pressureDifference,
  strokeForce,
} from '../../../core/force/force.ts';
import { HAND } from '../build.ts';

const calibration = { ...HAND.calibration!, sensitivityRawPerKpa: 100 };
const constant = { startRaw: 1000, endRaw: 1000, fromCalibration: false };

describe('pressure difference', () => {
  test('is (raw − zero) / sensitivity', () => {
    const kpa = pressureDifference(Float64Array.of(1000, 1100, 900), 100, constant, calibration, {
      kind: 'none',
    });
    expect([...(kpa as Float64Array)]).toEqual([0, 1, -1]);
  });

  test('the zero runs straight from the first sample to the last', () => {
    const drift = { ...constant, endRaw: 1100 };
    const raw = Float64Array.of(1000, 1025, 1050, 1075, 1100);
    const kpa = pressureDifference(raw, 100, drift, calibration, { kind: 'none' }) as Float64Array;
    for (const value of kpa) expect(value).toBeCloseTo(0, 12);
  });

  test('a sensor that reads backward gives the right sign', () => {
    const turned = { ...calibration, sensitivityRawPerKpa: -100 };
    const kpa = pressureDifference(Float64Array.of(900), 100, constant, turned, { kind: 'none' });
    expect((kpa as Float64Array)[0]).toBe(1);
  });

  test('a filter that cannot be applied says which flag stands for it', () => {
    const raw = new Float64Array(9).fill(1000);
    const filter = { kind: 'butterworth', order: 2, cutoffHz: 12 } as const;
    expect(pressureDifference(raw, 100, constant, calibration, filter)).toBe('too_short_to_filter');
    expect(pressureDifference(raw, 20, constant, calibration, filter)).toBe('filter_unusable');
    expect(pressureDifference(raw, 100, constant, calibration, { kind: 'unusable' })).toBe('filter_unusable');
  });
});

describe('a stroke’s force', () => {
  const grid = { startS: 2, rateHz: 10 };
  const force = Float64Array.of(0, 10, 20, 30, 20, 10);

  test('both ends are interpolated; the peak is a sample', () => {
    const found = strokeForce(force, grid, 2.05, 2.35);
    // Trapezoids 5–10 over 0.05 s, 10–20, 20–30 over 0.1 s, 30–25 over 0.05 s.
    expect(found).toMatchObject({ peakN: 30 });
    expect(found).toMatchObject({ impulseNs: expect.closeTo(0.375 + 1.5 + 2.5 + 1.375, 12) });
    expect(found).toMatchObject({ meanN: expect.closeTo(5.75 / 0.3, 10) });
  });

  test('samples at the very ends belong to the closed interval', () => {
    expect(strokeForce(force, grid, 2.3, 2.4)).toMatchObject({
      peakN: 30,
      impulseNs: expect.closeTo(2.5, 12),
    });
    expect(strokeForce(force, grid, 2.2, 2.3)).toMatchObject({ peakN: 30 });
  });

  test('the peak is the largest sample, sign and all: a hand pushed from behind has none above 0', () => {
    expect(strokeForce(Float64Array.of(-5, -20, -3, -8), grid, 2, 2.2)).toMatchObject({ peakN: -3 });
    expect(strokeForce(Float64Array.of(1, -20, 3), grid, 2, 2.2)).toMatchObject({ peakN: 3 });
  });

  test('between two samples there is an impulse and no peak', () => {
    expect(strokeForce(force, grid, 2.02, 2.08)).toMatchObject({
      peakN: null,
      meanN: expect.closeTo(5, 10),
      impulseNs: expect.closeTo(0.3, 12),
    });
  });

  test('outside the trace there is none; its very ends are inside', () => {
    expect(strokeForce(force, grid, 1.99, 2.2)).toBe('outside_trace');
    expect(strokeForce(force, grid, 2.2, 2.51)).toBe('outside_trace');
    expect(strokeForce(force, grid, 2, 2.5)).toMatchObject({ impulseNs: expect.closeTo(8.5, 12) });
  });
});

describe('uncertainty of a peak', () => {
  const parts = { ...calibration, sensitivityU: 2, residualSdKpa: 0.05 };

  test('area and sensitivity in proportion, the residual scatter in full', () => {
    const u = peakForceU(60, { cm2: 150, uCm2: 3 }, parts)!;
    const wanted = Math.sqrt(60 ** 2 * ((3 / 150) ** 2 + (2 / 100) ** 2) + (0.1 * 150 * 0.05) ** 2);
    expect(u).toBeCloseTo(wanted, 12);
    expect(peakForceU(-60, { cm2: 150, uCm2: 3 }, parts)).toBeCloseTo(wanted, 12);
    expect(peakForceU(60, { cm2: 150, uCm2: 3 }, { ...parts, sensitivityRawPerKpa: -100 })).toBeCloseTo(
      wanted,
      12,
    );
  });

  test('is empty where a part is not known', () => {
    expect(peakForceU(60, { cm2: 150, uCm2: null }, parts)).toBeNull();
    expect(peakForceU(60, { cm2: 150, uCm2: 3 }, { ...parts, sensitivityU: null })).toBeNull();
    expect(peakForceU(60, { cm2: 150, uCm2: 3 }, { ...parts, residualSdKpa: null })).toBeNull();
  });
});

test('force is pressure times area: 4 kPa on 150 cm² is 60 N', () => {
  expect(handForce(Float64Array.of(4), 150)[0]).toBeCloseTo(60, 12);
});

test('symmetry is right less left over their mean', () => {
  expect(forceSymmetryPct(40, 60)).toBeCloseTo(40, 12);
  expect(forceSymmetryPct(60, 40)).toBeCloseTo(-40, 12);
  expect(forceSymmetryPct(50, 50)).toBe(0);
  expect(forceSymmetryPct(null, 50)).toBeNull();
  expect(forceSymmetryPct(50, -50)).toBeNull();
});
