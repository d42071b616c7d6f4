/** Mean, median and the line at their edges; their values are checked in test/reference. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { fitClock } from '../../../core/clock/clock.ts';
import { fitLine, mean, median, predict } from '../../../core/base/statistics.ts';
import { markU, rootSumSquares } from '../../../core/base/uncertainty.ts';

describe('mean and median', () => {
  test('of nothing is nothing', () => {
    expect(mean([])).toBeNull();
    expect(median([])).toBeNull();
  });

  test('the median of any numbers is that of the sorted list (property)', () => {
    const some = fc.array(fc.oneof(fc.double(), fc.constantFrom(0, -0, 1, 1, 2, NaN)), {
      minLength: 1,
      maxLength: 40,
    });
    fc.assert(
      fc.property(some, (values) => {
        const sorted = Float64Array.from(values).sort();
        const half = sorted.length >> 1;
        const middle = sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
        expect(Object.is(median(values), middle)).toBe(true);
      }),
      { numRuns: 2000 },
    );
  });

  test('the median is the middle one, or the mean of the middle two, whatever the order', () => {
    expect(median([9, -1, 4])).toBe(4);
    expect(median(Float64Array.of(10, 2, 4, 9))).toBe(6.5);
    expect(median([100, 20, 3])).toBe(20);
  });
});

describe('the line', () => {
  test('needs two points at different x', () => {
    expect(fitLine([], [])).toBeNull();
    expect(fitLine([1], [2])).toBeNull();
    expect(fitLine([1, 2], [1])).toBeNull();
    expect(fitLine([3, 3, 3], [1, 2, 3])).toBeNull();
  });

  test('equal x are no line even where their mean is not exactly them: 0.1, 0.1, 0.1', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -100_000, max: 100_000 }),
        fc.integer({ min: 2, max: 9 }),
        (thousandths, n) => {
          const many = new Array<number>(n).fill(thousandths / 1000);
          expect(
            fitLine(
              many,
              many.map((_, k) => k * 1.7),
            ),
          ).toBeNull();
        },
      ),
      { numRuns: 200 },
    );
  });

  test('two points give a line and no uncertainty', () => {
    expect(fitLine([0, 2], [1, 5])).toMatchObject({ intercept: 1, slope: 2, residualSd: null, slopeU: null });
    expect(predict(fitLine([0, 2], [1, 5])!, 3)).toEqual({ value: 7, u: null });
  });

  test('shifting and scaling x and y moves the line with them', () => {
    const x = [0, 1, 2.5, 4, 7];
    const y = [1.1, 2.9, 6.2, 8.8, 15.3];
    const base = fitLine(x, y)!;
    fc.assert(
      fc.property(
        fc.double({ min: -50, max: 50, noNaN: true }),
        fc.double({ min: 0.1, max: 10, noNaN: true }),
        (shift, scale) => {
          const moved = fitLine(
            x.map((value) => value + shift),
            y.map((value) => value * scale),
          )!;
          expect(moved.slope).toBeCloseTo(base.slope * scale, 9);
          expect(predict(moved, 3 + shift).value).toBeCloseTo(predict(base, 3).value * scale, 8);
          expect(predict(moved, 3 + shift).u).toBeCloseTo(predict(base, 3).u! * scale, 8);
        },
      ),
      { numRuns: 60 },
    );
  });
});

describe('clocks', () => {
  test('no pair gives no clock; pairs that run backward give none', () => {
    expect(fitClock([])).toBeNull();
    expect(
      fitClock([
        { traceS: 5, videoS: 1 },
        { traceS: 4, videoS: 2 },
      ]),
    ).toBeNull();
    expect(
      fitClock([
        { traceS: 5, videoS: 1 },
        { traceS: 5, videoS: 2 },
      ]),
    ).toBeNull();
  });

  test('pairs at one video time fix the offset alone, as their mean', () => {
    for (const videoS of [1, 0.1, 12.34])
      expect(fitClock([2, 2.02, 2.04].map((traceS) => ({ traceS, videoS })))).toMatchObject({
        rate: 1,
        pairs: 3,
      });
  });

  test('the residual is a root mean square, empty below three pairs', () => {
    const pairs = [0, 10, 20].map((videoS, k) => ({ videoS, traceS: videoS + [0, 0.03, 0][k]! }));
    expect(fitClock(pairs.slice(0, 2))!.residualS).toBeNull();
    // Line through the mean 0.01 above the identity; residuals −0.01, 0.02, −0.01.
    expect(fitClock(pairs)!.residualS).toBeCloseTo(Math.sqrt(6e-4 / 3), 12);
  });
});

describe('uncertainties', () => {
  test('a part that is not known makes the whole unknown, never smaller', () => {
    expect(rootSumSquares([3, null])).toBeNull();
    expect(rootSumSquares([3, 4])).toBe(5);
    expect(markU(null, 0.01)).toBeNull();
    expect(markU(0.02, 0.01)).toBeCloseTo(Math.hypot(0.02 / Math.sqrt(12), 0.01), 15);
  });
});
