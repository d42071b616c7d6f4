/** The assessment of a calibration, its verdict, and what can be wrong with what is entered. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { calibrate } from '../../../core/sensor/calibration.ts';
import { assessCalibration, bandAt, pressureFromRaw } from '../../../core/sensor/metrology.ts';
import { EXACT, runs, STEPS } from './runs.ts';

const good = assessCalibration(runs(), 15, EXACT)!;

describe('assessment', () => {
  test('its line is that of core/calibration.ts', () => {
    const plain = calibrate(runs(), 15)!;
    expect(good.sensitivity.value).toBe(plain.sensitivityRawPerKpa);
    expect(good.sensitivity.u).toBeCloseTo(plain.sensitivityU!, 12);
    expect(good.zero.value).toBe(plain.interceptRaw);
    expect(good.residualSd!.kpa).toBe(plain.residualSdKpa);
  });

  test('independent non-linearity is never above the least-squares one, nor above the terminal-based', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 6, maxLength: 6 }), (bend) => {
        const points = STEPS.map((appliedKpa, k) => ({
          appliedKpa,
          raw: 8000 + 600 * appliedKpa + bend[k]!,
          direction: 'up' as const,
          run: 1,
          setAside: null,
        }));
        const assessed = assessCalibration(points, 15, EXACT)!;
        expect(assessed.nonlinearityPctFs!).toBeLessThanOrEqual(
          calibrate(points, 15)!.nonlinearityPctFs! + 1e-9,
        );
        expect(assessed.nonlinearityPctFs!).toBeLessThanOrEqual(assessed.terminalNonlinearityPctFs! + 1e-9);
        expect(assessed.terminalNonlinearityPctFs!).toBeLessThanOrEqual(
          2 * assessed.nonlinearityPctFs! + 1e-9,
        );
      }),
      { numRuns: 100 },
    );
  });

  test('a point set aside takes no part but stays, with its distance', () => {
    const bad = { appliedKpa: 7, raw: 20_000, direction: 'up' as const, run: 2, setAside: 'air in the tube' };
    const assessed = assessCalibration([...runs(), bad], 15, EXACT)!;
    expect(assessed.sensitivity).toEqual(good.sensitivity);
    expect(assessed.pointCount).toBe(24);
    expect(assessed.points.at(-1)).toMatchObject({ setAside: 'air in the tube' });
    expect(assessed.points.at(-1)!.residualKpa).toBeGreaterThan(10);
  });

  test('the shared part of the reference is in the zero whatever the number of points; the scale in the sensitivity', () => {
    const reference = { sharedKpa: 0.05, scale: 0.01, perPointKpa: 0 };
    for (const count of [1, 2]) {
      const assessed = assessCalibration(runs(600, count), 15, reference)!;
      expect(assessed.zero.u!).toBeGreaterThan(600 * 0.05);
      expect(assessed.sensitivity.u!).toBeGreaterThan(6);
      expect(Math.abs(assessed.correlation!)).toBeLessThan(Math.abs(good.correlation!));
    }
  });

  test('the reference’s part per point counts where the points scatter less, and gives two points an uncertainty', () => {
    const assessed = assessCalibration(runs(), 15, { ...EXACT, perPointKpa: 0.02 })!;
    expect(assessed.scatter).toEqual({ raw: expect.closeTo(12, 1), from: 'reference' });
    expect(assessed.sensitivity.degreesOfFreedom).toBeNull();
    expect(assessCalibration(runs(), 15, { ...EXACT, perPointKpa: 0.001 })!.scatter!.from).toBe('points');
    const two = [runs()[0]!, runs()[5]!];
    expect(assessCalibration(two, 15, EXACT)!.sensitivity.u).toBeNull();
    expect(assessCalibration(two, 15, { ...EXACT, perPointKpa: 0.01 })!.sensitivity.u).toBeGreaterThan(0);
  });

  test('read backward and forward: the pressure’s uncertainty is that of a reading over the sensitivity', () => {
    const reading = bandAt(good, 7.5, 'reading');
    const back = pressureFromRaw(good, reading.value);
    expect(back.value).toBeCloseTo(7.5, 10);
    expect(back.u!).toBeCloseTo(reading.u! / good.sensitivity.value, 12);
    expect(reading.u!).toBeGreaterThan(bandAt(good, 7.5, 'line').u!);
  });

  test('a shared offset of the reference passes whole into a pressure', () => {
    const assessed = assessCalibration(runs(), 15, { ...EXACT, sharedKpa: 1 })!;
    expect(pressureFromRaw(assessed, 12_000).u!).toBeCloseTo(1, 3);
  });

  test('depths set by hand a few millimetres apart are one pressure', () => {
    const points = runs().map((point, k) => ({ ...point, appliedKpa: point.appliedKpa + 0.01 * (k % 3) }));
    expect(assessCalibration(points, 15, EXACT)!.pressureCount).toBe(6);
  });

  test('what is not known is empty: no range, one run, no pressure from both sides', () => {
    expect(assessCalibration(runs(), null, EXACT)!).toMatchObject({
      nonlinearityPctFs: null,
      hysteresisPctFs: null,
    });
    expect(assessCalibration(runs(600, 1), 15, EXACT)!.repeatabilityPctFs).toBeNull();
    expect(assessCalibration(runs().slice(0, 6), 15, EXACT)!.hysteresisPctFs).toBeNull();
    expect(assessCalibration([], 15, EXACT)).toBeNull();
    expect(
      assessCalibration(
        runs(0).map((point) => ({ ...point, raw: 5 })),
        15,
        EXACT,
      ),
    ).toBeNull();
  });

  test('the behaviour does not depend on the raw unit or its sign', () => {
    const turned = assessCalibration(
      runs().map((point) => ({ ...point, raw: -3 * point.raw })),
      15,
      EXACT,
    )!;
    for (const name of [
      'terminalNonlinearityPctFs',
      'nonlinearityPctFs',
      'hysteresisPctFs',
      'repeatabilityPctFs',
    ] as const)
      expect(Math.abs(turned[name]!)).toBeCloseTo(Math.abs(good[name]!), 9);
  });
});
