/** Laws of the zero-lag filter and of sampling, for any series. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { lowPassZeroLag } from '../../../core/force/filter.ts';
import { strokeForce } from '../../../core/force/force.ts';
import { sampleRows } from '../../../core/force/trace.ts';

const RUNS = { numRuns: 40 };
const setting = fc.record({
  order: fc.integer({ min: 1, max: 8 }),
  rateHz: fc.constantFrom(50, 100, 200, 500),
  share: fc.double({ min: 0.06, max: 0.4, noNaN: true }),
});
const series = (length = 120) =>
  fc
    .array(fc.integer({ min: -5000, max: 5000 }), { minLength: length, maxLength: length })
    .map((values) => Float64Array.from(values, (value) => value / 100));
const filtered = (
  values: Float64Array,
  { order, rateHz, share }: { order: number; rateHz: number; share: number },
) => lowPassZeroLag(values, rateHz, order, share * rateHz) as Float64Array;

function expectClose(actual: ArrayLike<number>, expected: ArrayLike<number>, room = 1e-7): void {
  expect(actual.length).toBe(expected.length);
  for (let k = 0; k < expected.length; k++) expect(Math.abs(actual[k]! - expected[k]!)).toBeLessThan(room);
}

describe('the filter', () => {
  test('leaves a constant as it is', () => {
    fc.assert(
      fc.property(setting, fc.integer({ min: -1000, max: 1000 }), (own, value) => {
        expectClose(filtered(new Float64Array(120).fill(value), own), new Float64Array(120).fill(value));
      }),
      RUNS,
    );
  });

  test('is linear', () => {
    fc.assert(
      fc.property(setting, series(), series(), fc.integer({ min: -9, max: 9 }), (own, x, y, factor) => {
        const [fx, fy] = [filtered(x, own), filtered(y, own)];
        expectClose(
          filtered(
            x.map((value, k) => value + factor * y[k]!),
            own,
          ),
          fx.map((value, k) => value + factor * fy[k]!),
        );
      }),
      RUNS,
    );
  });

  test('and what it takes away make up the series; a constant added passes through', () => {
    fc.assert(
      fc.property(setting, series(), fc.integer({ min: -500, max: 500 }), (own, x, more) => {
        const low = filtered(x, own);
        const rest = x.map((value, k) => value - low[k]!);
        expectClose(
          low.map((value, k) => value + rest[k]!),
          x,
          1e-10,
        );
        expectClose(
          filtered(
            x.map((value) => value + more),
            own,
          ),
          low.map((value) => value + more),
        );
      }),
      RUNS,
    );
  });

  test('has no preferred direction of time, away from the ends', () => {
    // The backward pass starts from the forward pass's output, so the ends differ slightly; the middle must not.
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 4 }), series(400), (order, x) => {
        const own = { order, rateHz: 100, share: 0.12 };
        const backward = filtered(x.toReversed(), own).reverse();
        expectClose(backward.slice(150, 250), filtered(x, own).slice(150, 250), 1e-6);
      }),
      { numRuns: 20 },
    );
  });

  test('depends on the ratio of cutoff to rate alone', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 8 }), series(), fc.constantFrom(2, 4, 8), (order, x, factor) => {
        const slow = lowPassZeroLag(x, 125, order, 12) as Float64Array;
        expectClose(lowPassZeroLag(x, 125 * factor, order, 12 * factor) as Float64Array, slow);
      }),
      RUNS,
    );
  });
});

describe('an impulse', () => {
  test('over an interval split anywhere is the sum of both parts', () => {
    const moment = fc.double({ min: 0.01, max: 1.18, noNaN: true });
    fc.assert(
      fc.property(series(), fc.tuple(moment, moment, moment), (force, moments) => {
        const [a, b, c] = moments.toSorted((x, y) => x - y) as [number, number, number];
        fc.pre(b - a > 1e-4 && c - b > 1e-4);
        const impulse = (from: number, to: number) => {
          const found = strokeForce(force, { startS: 0, rateHz: 100 }, from, to);
          return found === 'outside_trace' ? NaN : found.impulseNs;
        };
        expect(impulse(a, b) + impulse(b, c)).toBeCloseTo(impulse(a, c), 9);
      }),
      { numRuns: 100 },
    );
  });
});

describe('sampling', () => {
  const rate = fc.constantFrom(50, 100, 200, 240, 500, 1000);
  const sampled = (times: readonly number[], values: readonly number[]) =>
    sampleRows({
      timeS: Float64Array.from(times),
      rateHz: null,
      lines: Uint32Array.from(times, (_, k) => k + 2),
      left: Float64Array.from(values),
      right: null,
    });

  test('rows taken out of an even series of a straight line come back by filling', () => {
    fc.assert(
      fc.property(
        rate,
        fc.uniqueArray(fc.integer({ min: 1, max: 198 }), { maxLength: 60 }),
        (rateHz, gone) => {
          const lost = new Set(gone);
          const kept = Array.from({ length: 200 }, (_, k) => k).filter((k) => !lost.has(k));
          const { trace, refused } = sampled(
            kept.map((k) => k / rateHz),
            kept.map((k) => 7 + 3 * k),
          );
          expect(refused).toEqual([]);
          expect(trace!.rateHz).toBeCloseTo(rateHz, 6);
          expectClose(
            trace!.left!.raw,
            Float64Array.from({ length: 200 }, (_, k) => 7 + 3 * k),
          );
          expect(trace!.left!.gaps.reduce((sum, { first, last }) => sum + last - first + 1, 0)).toBe(
            lost.size,
          );
          expect(trace!.left!.measured).toBe(kept.length);
        },
      ),
      RUNS,
    );
  });

  test('an empty cell and an absent row are filled alike', () => {
    fc.assert(
      fc.property(
        series(80),
        fc.uniqueArray(fc.integer({ min: 1, max: 78 }), { maxLength: 20 }),
        (values, gone) => {
          const all = Array.from({ length: 80 }, (_, k) => k);
          const kept = all.filter((k) => !gone.includes(k));
          const [absent, empty] = [
            sampled(
              kept.map((k) => k / 100),
              kept.map((k) => values[k]!),
            ),
            sampled(
              all.map((k) => k / 100),
              all.map((k) => (gone.includes(k) ? NaN : values[k]!)),
            ),
          ];
          expectClose(absent.trace!.left!.raw, empty.trace!.left!.raw, 1e-9);
          expect(absent.trace!.left!.gaps).toEqual(empty.trace!.left!.gaps);
        },
      ),
      RUNS,
    );
  });

  test('a row repeated is refused and changes nothing', () => {
    fc.assert(
      fc.property(series(60), fc.integer({ min: 0, max: 59 }), (values, at) => {
        const times = Array.from({ length: 60 }, (_, k) => 3 + k / 200);
        const [plain, twice] = [
          sampled(times, [...values]),
          sampled(times.toSpliced(at + 1, 0, times[at]!), [...values].toSpliced(at + 1, 0, 999)),
        ];
        expect(twice.refused.map(({ line }) => line)).toEqual([at + 3]);
        expect(twice.trace).toEqual(plain.trace);
      }),
      RUNS,
    );
  });
});
