/** Reduction of dense traces: whatever is left out, ends and extremes are not. The oracle is a plain pass over all samples. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { downsample, valueAt, withGaps } from '../../../renderer/plot/downsample.ts';

const cases = fc.record({
  values: fc.array(fc.double({ min: -500, max: 500, noNaN: true }), { minLength: 1, maxLength: 3000 }),
  rateHz: fc.constantFrom(100, 333.3, 500, 1000),
  startS: fc.double({ min: -10, max: 10, noNaN: true }),
  from: fc.double({ min: 0, max: 0.8, noNaN: true }),
  length: fc.double({ min: 0.05, max: 1, noNaN: true }),
  widthPx: fc.integer({ min: 1, max: 400 }),
});

function setUp(one: { values: number[]; rateHz: number; startS: number; from: number; length: number }) {
  const values = Float64Array.from(one.values);
  const grid = { startS: one.startS, rateHz: one.rateHz };
  const wholeS = Math.max(1, values.length - 1) / one.rateHz;
  const fromS = one.startS + one.from * wholeS;
  return { values, grid, span: { fromS, toS: fromS + one.length * wholeS } };
}

const pairsOf = (points: Float64Array) =>
  Array.from({ length: points.length / 2 }, (_, i) => [points[2 * i]!, points[2 * i + 1]!] as const);

describe('reduction to the pixels of a window', () => {
  it('keeps the extremes, the ends and the order, and invents nothing', () => {
    fc.assert(
      fc.property(cases, (one) => {
        const { values, grid, span } = setUp(one);
        const { points, extent } = downsample(values, grid, span, one.widthPx);
        const pairs = pairsOf(points);
        const first = Math.max(0, Math.floor((span.fromS - grid.startS) * grid.rateHz));
        const last = Math.min(values.length - 1, Math.ceil((span.toS - grid.startS) * grid.rateHz));
        const seen = values.subarray(first, last + 1);
        expect(extent).toEqual([
          seen.reduce((a, b) => Math.min(a, b)),
          seen.reduce((a, b) => Math.max(a, b)),
        ]);
        expect(Math.min(...pairs.map(([, value]) => value))).toBe(extent![0]);
        expect(Math.max(...pairs.map(([, value]) => value))).toBe(extent![1]);
        expect(pairs[0]![1]).toBe(values[first]);
        expect(pairs.at(-1)![1]).toBe(values[last]);
        for (const [i, [time, value]] of pairs.entries()) {
          expect(values[Math.round((time - grid.startS) * grid.rateHz)]).toBe(value);
          if (i > 0) expect(time).toBeGreaterThan(pairs[i - 1]![0]);
        }
      }),
    );
  });

  it('gives at most four points per pixel', () => {
    fc.assert(
      fc.property(cases, (one) => {
        const { values, grid, span } = setUp(one);
        const { points } = downsample(values, grid, span, one.widthPx);
        // One pixel more at either edge, for the samples just outside the window.
        expect(points.length / 2).toBeLessThanOrEqual(4 * (one.widthPx + 2));
      }),
    );
  });

  it('gives every sample where there are no more than four per pixel', () => {
    const values = Float64Array.from({ length: 100 }, (_, k) => k);
    const { points } = downsample(values, { startS: 0, rateHz: 100 }, { fromS: 0, toS: 0.99 }, 50);
    expect(points.length / 2).toBe(100);
  });

  it('breaks the line at a gap and leaves gaps out of the extent', () => {
    const values = Float64Array.from({ length: 1000 }, (_, k) => (k < 400 || k > 600 ? k : NaN));
    const { points, extent } = downsample(values, { startS: 0, rateHz: 1000 }, { fromS: 0, toS: 0.999 }, 50);
    expect(extent).toEqual([0, 999]);
    expect(pairsOf(points).some(([, value]) => Number.isNaN(value))).toBe(true);
    expect(pairsOf(points).every(([time, value]) => Number.isNaN(value) || time < 0.4 || time > 0.6)).toBe(
      true,
    );
  });

  it('is empty beside the trace and on no pixel', () => {
    const values = Float64Array.of(1, 2, 3);
    const grid = { startS: 0, rateHz: 10 };
    expect(downsample(values, grid, { fromS: 5, toS: 6 }, 100).points).toHaveLength(0);
    expect(downsample(values, grid, { fromS: 0, toS: 1 }, 0).extent).toBeNull();
    expect(downsample(new Float64Array(0), grid, { fromS: 0, toS: 1 }, 10).extent).toBeNull();
  });
});

describe('the value under the cursor', () => {
  const grid = { startS: 2, rateHz: 100 };
  const values = Float64Array.of(10, 20, NaN, 40);

  it('is the sample, or lies on the straight line between two', () => {
    expect(valueAt(values, grid, 2)).toBe(10);
    expect(valueAt(values, grid, 2.005)).toBeCloseTo(15, 9);
    expect(valueAt(values, grid, 2.03)).toBe(40);
  });

  it('is none in a gap and outside the trace', () => {
    expect(valueAt(values, grid, 2.015)).toBeNull();
    expect(valueAt(values, grid, 2.02)).toBeNull();
    expect(valueAt(values, grid, 1.99)).toBeNull();
    expect(valueAt(values, grid, 2.031)).toBeNull();
  });
});

describe('filled gaps', () => {
  it('become NaN in a copy, ends included', () => {
    const values = Float64Array.of(1, 2, 3, 4, 5);
    const opened = withGaps(values, { startS: 0, rateHz: 10 }, [{ startS: 0.1, endS: 0.3 }]);
    expect([...opened]).toEqual([1, NaN, NaN, NaN, 5]);
    expect([...values]).toEqual([1, 2, 3, 4, 5]);
    expect(withGaps(values, { startS: 0, rateHz: 10 }, [])).toBe(values);
  });
});
