/** Calibration and zero at their edges (formats.md section 1). */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  calibrate,
  judgeCalibration,
  NO_ZEROS,
  zeroLine,
  zeroShiftKpa,
} from '../../../core/sensor/calibration.ts';
import { calibrationPoints } from '../build.ts';

const DAY = { before: 20, after: 24 };

const up = (pairs: readonly (readonly [number, number])[]) =>
  pairs.map(([appliedKpa, raw]) => ({ appliedKpa, raw, direction: 'up' as const }));
const good = calibrate(calibrationPoints(), 15)!;

describe('what cannot be fitted', () => {
  test('fewer than two pressures, or no change of raw', () => {
    expect(calibrate([], 15)).toBeNull();
    expect(calibrate(up([[5, 1500]]), 15)).toBeNull();
    expect(
      calibrate(
        up([
          [5, 1500],
          [5, 1510],
        ]),
        15,
      ),
    ).toBeNull();
    expect(
      calibrate(
        up([
          [0, 1000],
          [5, 1000],
          [10, 1000],
        ]),
        15,
      ),
    ).toBeNull();
  });

  test('a sensor that reads one value at every pressure has no sensitivity, whatever that value', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 5000 }),
        fc.uniqueArray(fc.integer({ min: 0, max: 150 }), { minLength: 2, maxLength: 9 }),
        (thousandths, tenths) => {
          expect(calibrate(up(tenths.map((tenth) => [tenth / 10, thousandths / 1000])), 15)).toBeNull();
        },
      ),
      { numRuns: 200 },
    );
  });

  test('a stuck sensor in a run of 13 steps up and down, raw 1234.1: no force may come of it', () => {
    const steps = [0, 2.5, 5, 7.5, 10, 12.5, 15, 12.5, 10, 7.5, 5, 2.5, 0];
    expect(calibrate(up(steps.map((kpa) => [kpa, 1234.1])), 15)).toBeNull();
  });

  test('one pressure read many times is no line: 0.1 kPa three times', () => {
    expect(
      calibrate(
        up([
          [0.1, 1000],
          [0.1, 1001],
          [0.1, 1003],
        ]),
        15,
      ),
    ).toBeNull();
  });
});

describe('non-linearity and hysteresis', () => {
  test('are empty without a range; hysteresis without a pressure both up and down', () => {
    expect(calibrate(calibrationPoints(), null)).toMatchObject({
      nonlinearityPctFs: null,
      hysteresisPctFs: null,
    });
    expect(
      calibrate(
        up([
          [0, 0],
          [5, 501],
          [10, 1000],
        ]),
        15,
      )!.hysteresisPctFs,
    ).toBeNull();
    expect(
      calibrate(
        up([
          [0, 0],
          [5, 501],
          [10, 1000],
        ]),
        15,
      )!.nonlinearityPctFs,
    ).not.toBeNull();
  });

  test('a pressure reached through another unit is the same pressure', () => {
    const points = [
      ...up([
        [0, 0],
        [0.3, 30],
        [5, 500],
      ]),
      { appliedKpa: 0.1 + 0.2, raw: 36, direction: 'down' as const },
    ];
    expect(calibrate(points, 10)!.hysteresisPctFs).toBeGreaterThan(0);
  });

  test('do not depend on the raw unit or its sign', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 50, noNaN: true }), fc.boolean(), (scale, turned) => {
        const points = calibrationPoints().map((point) => ({
          ...point,
          raw: point.raw * scale * (turned ? -1 : 1),
        }));
        const own = calibrate(points, 15)!;
        expect(own.nonlinearityPctFs).toBeCloseTo(good.nonlinearityPctFs!, 9);
        expect(own.hysteresisPctFs).toBeCloseTo(good.hysteresisPctFs!, 9);
        expect(own.residualSdKpa).toBeCloseTo(good.residualSdKpa!, 9);
      }),
      { numRuns: 50 },
    );
  });
});

describe('verdict', () => {
  test.each([
    [good, 'accepted'],
    [null, 'not_fitted'],
    [calibrate(calibrationPoints(), null), 'remark'],
    [
      calibrate(
        up([
          [0, 0],
          [10, 1000],
        ]),
        15,
      ),
      'remark',
    ],
    [calibrate(calibrationPoints(1000, -100), 15), 'rejected'],
    [{ ...good, nonlinearityPctFs: 1.01 }, 'rejected'],
    [{ ...good, hysteresisPctFs: 1.01 }, 'rejected'],
    [{ ...good, hysteresisPctFs: 1 }, 'accepted'],
  ])('%#', (calibration, verdict) => expect(judgeCalibration(calibration)).toBe(verdict));
});

describe('the zero of a trial', () => {
  test('runs from before to after, is constant with one, and the intercept with none', () => {
    expect(zeroLine({ before: 10, after: 14 }, DAY, good)).toEqual({
      startRaw: 10,
      endRaw: 14,
      origin: 'trial',
    });
    expect(zeroLine({ before: 10, after: null }, DAY, good)).toMatchObject({ startRaw: 10, endRaw: 10 });
    expect(zeroLine({ before: null, after: 14 }, DAY, good)).toMatchObject({ startRaw: 14, endRaw: 14 });
    expect(zeroLine(NO_ZEROS, DAY, good)).toEqual({ startRaw: 22, endRaw: 22, origin: 'day' });
    expect(zeroLine(NO_ZEROS, { before: null, after: 24 }, good)).toMatchObject({ startRaw: 24, endRaw: 24 });
    expect(zeroLine(NO_ZEROS, NO_ZEROS, null)).toEqual({ startRaw: 0, endRaw: 0, origin: 'none' });
    expect(zeroLine(NO_ZEROS, NO_ZEROS, good)).toEqual({
      startRaw: good.interceptRaw,
      endRaw: good.interceptRaw,
      origin: 'calibration',
    });
  });

  test('its shift is after minus before, in kPa', () => {
    expect(zeroShiftKpa({ before: 1000, after: 1010 }, good)).toBeCloseTo(10 / good.sensitivityRawPerKpa, 14);
    expect(zeroShiftKpa({ before: 0, after: 0 }, good)).toBe(0);
    expect(zeroShiftKpa({ before: 1000, after: null }, good)).toBeNull();
  });
});
