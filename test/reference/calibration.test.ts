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
    // Means 102 and 200: slope 98, intercept 102, residuals −2, +2, +2, −2; residual SD √(16/2)/98. A line through two
    // pressures fits them whatever the sensor does: non-linearity and hysteresis are empty (definitions of formats.md
    // section 1, no outside source).
    const points = [
      { appliedKpa: 0, raw: 100, direction: 'up' },
      { appliedKpa: 1, raw: 202, direction: 'up' },
      { appliedKpa: 1, raw: 198, direction: 'down' },
      { appliedKpa: 0, raw: 104, direction: 'down' },
    ] as const;
    const own = calibrate(points, 2)!;
    expect(own.sensitivityRawPerKpa).toBe(98);
    expect(own.interceptRaw).toBe(102);
    expect(own.nonlinearityPctFs).toBeNull();
    expect(own.hysteresisPctFs).toBeNull();
    expect(own.residualSdKpa).toBeCloseTo(Math.sqrt(8) / 98, 14);
  });

  test('a worked example by hand: raw 0, 104, 199 at 0, 1, 2 kPa up, 198, 101 at 2, 1 kPa down; range 4 kPa', () => {
    // The normal equations, from the sums alone.
    const n = 5;
    const [sx, sxx, sy, sxy] = [0 + 1 + 2 + 2 + 1, 10, 602, 104 + 398 + 396 + 101];
    const slope = (n * sxy - sx * sy) / (n * sxx - sx * sx);
    const intercept = (sy - slope * sx) / n;
    const points = [
      { appliedKpa: 0, raw: 0, direction: 'up' },
      { appliedKpa: 1, raw: 104, direction: 'up' },
      { appliedKpa: 2, raw: 199, direction: 'up' },
      { appliedKpa: 2, raw: 198, direction: 'down' },
      { appliedKpa: 1, raw: 101, direction: 'down' },
    ] as const;
    const own = calibrate(points, 4, { scaleUPct: 0.5, zeroUKpa: 0.01 })!;
    expect(own.sensitivityRawPerKpa).toBeCloseTo(slope, 12);
    // Mean residuals at 0, 1 and 2 kPa; up less down 3 at 1 kPa and 1 at 2 kPa.
    const worst = Math.max(
      ...[
        [0, 0],
        [1, 102.5],
        [2, 198.5],
      ].map(([x, y]) => Math.abs(y! - intercept - slope * x!)),
    );
    expect(own.nonlinearityPctFs).toBeCloseTo((100 * worst) / (slope * 4), 12);
    expect(own.hysteresisPctFs).toBeCloseTo((100 * 3) / (slope * 4), 12);
    const ssr = points.reduce((sum, { appliedKpa: x, raw }) => sum + (raw - intercept - slope * x) ** 2, 0);
    const uFit = Math.sqrt(ssr / 3) / Math.sqrt(sxx - sx ** 2 / n);
    expect(own.sensitivityU).toBeCloseTo(Math.sqrt(uFit ** 2 + (slope * 0.005) ** 2), 12);
    expect([own.largestKpa, own.coverage, own.referenceZeroUKpa]).toEqual([2, 0.5, 0.01]);
  });
});
