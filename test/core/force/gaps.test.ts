/** Gaps against a limit and samples at the ends of the raw range (formats.md section 1, traces). */
import { describe, expect, test } from 'vitest';
import { type Channel } from '../../../core/force/trace.ts';
import { gapMs, longGaps, saturatedFraction, touchesGap } from '../../../core/force/gaps.ts';
import { sampled } from './sampled.ts';

describe('gaps against the protocol', () => {
  const trace = sampled(
    Array.from({ length: 100 }, (_, k) => k / 500),
    Array.from({ length: 100 }, (_, k) => (k >= 20 && k < 30 ? NaN : 1)),
  );
  const [gap] = trace.left!.gaps;

  test('a gap lasts as long as its missing samples', () =>
    expect(gapMs(gap!, trace.rateHz)).toBeCloseTo(20, 9));

  test('one as long as the limit is allowed; no limit allows all', () => {
    expect(longGaps(trace.left!, trace.rateHz, 20)).toEqual([]);
    expect(longGaps(trace.left!, trace.rateHz, 19.9)).toEqual([gap]);
    expect(longGaps(trace.left!, trace.rateHz, null)).toEqual([]);
  });

  test('an interval touches it where a filled sample lies in it', () => {
    const touches = (startS: number, endS: number) => touchesGap(trace, gap!, startS, endS);
    expect(touches(0, 0.04)).toBe(true);
    expect(touches(0.058, 0.1)).toBe(true);
    expect(touches(0.045, 0.05)).toBe(true);
    expect(touches(0, 0.038)).toBe(false);
    expect(touches(0.06, 0.1)).toBe(false);
  });
});

describe('saturation', () => {
  const channel: Channel = {
    raw: Float64Array.of(0, 5, 10, 10, 10, 5, 0, 12),
    gaps: [{ first: 3, last: 4 }],
    measured: 6,
    asRead: null,
  };

  test('is the share of measured samples at or beyond a limit; filled samples do not count', () => {
    expect(saturatedFraction(channel, 0, 10)).toBeCloseTo(4 / 6, 15);
    expect(saturatedFraction(channel, null, 10)).toBeCloseTo(2 / 6, 15);
    expect(saturatedFraction(channel, 0, null)).toBeCloseTo(2 / 6, 15);
    expect(saturatedFraction(channel, null, null)).toBe(0);
  });
});
