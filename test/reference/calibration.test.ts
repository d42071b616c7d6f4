/** A sensor's calibration line against a general library. */
import { describe, expect, test } from 'vitest';
import { calibrate } from '../../core/sensor/calibration.ts';
import { expectWithin, readData } from './values.ts';

interface Fit {
  readonly source: string;
  readonly applied_kpa: readonly number[];
  readonly raw: readonly number[];
  readonly intercept: number;
  readonly slope: number;
  readonly intercept_u: number;
  readonly slope_u: number;
  readonly residual_sd: number;
}

describe('calibration', () => {
  const fit = readData<Fit>('lines.json');
  const half = fit.raw.length / 2;
  const calibration = calibrate(
    fit.raw.map((raw, k) => ({ raw, appliedKpa: fit.applied_kpa[k]!, direction: k < half ? 'up' : 'down' })),
    15,
  )!;

  test(`line: ${fit.source}`, () => {
    expectWithin(calibration.interceptRaw, fit.intercept, { rel: 1e-11 });
    expectWithin(calibration.sensitivityRawPerKpa, fit.slope, { rel: 1e-11 });
    expectWithin(calibration.sensitivityU, fit.slope_u, { rel: 1e-9 });
    expectWithin(calibration.line.interceptU, fit.intercept_u, { rel: 1e-9 });
    expectWithin(calibration.residualSdKpa, fit.residual_sd / fit.slope, { rel: 1e-9 });
  });

  test('a worked example by hand: raw 100, 202 at 0 and 1 kPa up, 104, 198 down; range 2 kPa', () => {
    // Means 102 and 200: slope 98, intercept 102, residuals −2, +2, +2, −2. Group means are 0, so non-linearity is 0;
    // hysteresis 4/(98·2); residual SD √(16/2)/98 (definitions of formats.md section 1, no outside source).
    const points = [
      { appliedKpa: 0, raw: 100, direction: 'up' },
      { appliedKpa: 1, raw: 202, direction: 'up' },
      { appliedKpa: 1, raw: 198, direction: 'down' },
      { appliedKpa: 0, raw: 104, direction: 'down' },
    ] as const;
    const own = calibrate(points, 2)!;
    expect(own.sensitivityRawPerKpa).toBe(98);
    expect(own.interceptRaw).toBe(102);
    expect(own.nonlinearityPctFs).toBe(0);
    expect(own.hysteresisPctFs).toBeCloseTo((100 * 4) / 196, 12);
    expect(own.residualSdKpa).toBeCloseTo(Math.sqrt(8) / 98, 14);
  });
});
