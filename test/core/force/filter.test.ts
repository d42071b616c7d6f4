/** The filter at its edges; its values are checked in test/reference. */
import { describe, expect, test } from 'vitest';
import { edgeSamples, lowPassZeroLag } from '../../../core/force/filter.ts';

const ramp = (n: number) => Float64Array.from({ length: n }, (_, k) => 3 + 0.5 * k);

describe('what cannot be filtered', () => {
  test('a cutoff at or above half the rate', () => {
    expect(lowPassZeroLag(ramp(50), 100, 2, 50)).toBe('cutoff_too_high');
    expect(lowPassZeroLag(ramp(50), 100, 2, 60)).toBe('cutoff_too_high');
    expect(lowPassZeroLag(ramp(50), 100, 2, NaN)).toBe('cutoff_too_high');
    expect(lowPassZeroLag(ramp(50), 100, 2, 49)).toBeInstanceOf(Float64Array);
  });

  test.each([1, 2, 3, 4, 8])('order %i: a series no longer than 3·(order + 1) samples', (order) => {
    expect(edgeSamples(order)).toBe(3 * (order + 1));
    expect(lowPassZeroLag(ramp(edgeSamples(order)), 100, order, 6)).toBe('too_short');
    expect(lowPassZeroLag(ramp(edgeSamples(order) + 1), 100, order, 6)).toHaveLength(edgeSamples(order) + 1);
  });
});

test('the series given is not changed', () => {
  const series = ramp(40);
  lowPassZeroLag(series, 100, 2, 6);
  expect(series).toEqual(ramp(40));
});

test('a straight line passes unchanged: odd edges carry it on', () => {
  const series = ramp(200);
  const filtered = lowPassZeroLag(series, 100, 2, 6) as Float64Array;
  // Away from the ends the filter has no lag; at them the steady state of a constant is not that of a ramp.
  for (let k = 60; k < 140; k++) expect(filtered[k]).toBeCloseTo(series[k]!, 6);
});

test.each([2, 5, 8])(
  'order %i: a sine at the cutoff comes back at 1/√2 of its size, without lag',
  (order) => {
    const series = Float64Array.from({ length: 2001 }, (_, k) => Math.sin((2 * Math.PI * 10 * k) / 500));
    const filtered = lowPassZeroLag(series, 500, order, 10) as Float64Array;
    for (let k = 900; k < 1100; k++) expect(filtered[k]).toBeCloseTo(series[k]! * Math.SQRT1_2, 6);
  },
);
