/** From raw samples to the forces of a stroke (formats.md section 2); integrals are checked in test/reference. */
import { describe, expect, test } from 'vitest';
import { forceSymmetry, handForce, pressureDifference, strokeForce } from '../../../core/force/force.ts';
import type { ZeroLine } from '../../../core/sensor/calibration.ts';
import { HAND } from '../build.ts';

const calibration = { ...HAND.calibration!, sensitivityRawPerKpa: 100 };
const constant: ZeroLine = { startRaw: 1000, endRaw: 1000, origin: 'trial' };

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

test('force is pressure times area: 4 kPa on 150 cm² is 60 N', () => {
  expect(handForce(Float64Array.of(4), 150)[0]).toBeCloseTo(60, 12);
});

test('symmetry is right less left over their mean', () => {
  const of = (left: number | null, right: number | null) =>
    forceSymmetry(
      left === null ? null : { value: left, u: 1 },
      right === null ? null : { value: right, u: 1 },
    )?.value ?? null;
  expect(of(40, 60)).toBeCloseTo(40, 12);
  expect(of(60, 40)).toBeCloseTo(-40, 12);
  expect(of(50, 50)).toBe(0);
  expect(of(null, 50)).toBeNull();
  expect(of(50, -50)).toBeNull();
});
