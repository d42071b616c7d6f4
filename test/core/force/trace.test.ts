/** Sampling rate, refused samples, gaps, filling and resampling (formats.md section 1, traces). */
import { describe, expect, test } from 'vitest';
import { sampleRows, traceEndS } from '../../../core/force/trace.ts';
import { rows, sampled } from './sampled.ts';

describe('sampling rate: N / (last − first), N = Σ max(1, round(step / median step))', () => {
  test('of even times', () => {
    expect(sampled([0, 0.01, 0.02, 0.03])).toMatchObject({ startS: 0, count: 4, resampled: false });
    expect(sampled([0, 0.01, 0.02, 0.03]).rateHz).toBeCloseTo(100, 10);
    expect(sampled([7.25, 7.75, 8.25])).toMatchObject({ startS: 7.25, rateHz: 2, count: 3 });
  });

  test('printed times lose digits, the rate does not: 1/240 s to a millisecond', () => {
    const times = Array.from({ length: 2401 }, (_, k) => Math.round((1000 * k) / 240) / 1000);
    const trace = sampled(times);
    expect(trace.rateHz).toBeCloseTo(240, 10);
    expect(trace).toMatchObject({ count: 2401, resampled: false });
  });

  test('an absent row counts as the steps it spans', () => {
    const trace = sampled([0, 1, 2, 5, 6]);
    expect(trace).toMatchObject({ rateHz: 1, count: 7 });
    expect([...trace.left!.raw]).toEqual([0, 1, 2, 2 + 1 / 3, 2 + 2 / 3, 3, 4]);
    expect(trace.left!.gaps).toEqual([{ first: 3, last: 4 }]);
  });

  test('a short step counts as one, never none', () => {
    // Steps 1, 1, 0.2, 1.8: N = 1 + 1 + 1 + 2.
    expect(sampled([0, 1, 2, 2.2, 4]).count).toBe(6);
  });

  test('a step just between two counts rounds to the even one, as IEEE 754 and numpy.rint do', () => {
    // Steps 1, 1, 1, 1, 2.5, 1, 1, 1: N = 7 + 2; 3.5 in its place would make 4.
    expect(sampled([0, 1, 2, 3, 4, 6.5, 7.5, 8.5, 9.5]).count).toBe(10);
    expect(sampled([0, 1, 2, 3, 4, 7.5, 8.5, 9.5, 10.5]).count).toBe(12);
  });

  test('without a time column the given rate holds and the first sample is at 0', () => {
    const { trace } = sampleRows({
      timeS: null,
      rateHz: 500,
      lines: Uint32Array.of(2, 3, 4),
      left: Float64Array.of(1, NaN, 3),
      right: null,
    });
    expect(trace).toMatchObject({ startS: 0, rateHz: 500, count: 3, resampled: false, right: null });
    expect([...trace!.left!.raw]).toEqual([1, 2, 3]);
    expect(traceEndS(trace!)).toBeCloseTo(0.004, 15);
  });
});

describe('samples refused alone', () => {
  test('not later than the last one taken', () => {
    const { trace, refused } = rows([0, 1, 1, 2, 3], [10, 11, 99, 12, 13]);
    expect(refused.map(({ line }) => line)).toEqual([4]);
    expect(refused[0]!.reason).toContain('not later than');
    expect([...trace!.left!.raw]).toEqual([10, 11, 12, 13]);
  });

  test('later than the one after it: a leap forward that comes back', () => {
    const { trace, refused } = rows([0, 1, 50, 3, 4], [10, 11, 99, 13, 14]);
    expect(refused.map(({ line }) => line)).toEqual([4]);
    expect([...trace!.left!.raw]).toEqual([10, 11, 12, 13, 14]);
    expect(trace!.left!.gaps).toEqual([{ first: 2, last: 2 }]);
  });

  test('a run of samples in the past is refused until time passes the last one taken', () => {
    const { refused } = rows([0, 1, 2, 3, 1.5, 2.5, 3.5, 4, 5]);
    // 3 is later than the 1.5 after it, but 1.5 is not later than 2: so 3 is taken, and 1.5 and 2.5 are not.
    expect(refused).toMatchObject([{ line: 6, lastLine: 7, rows: 2 }]);
    // 9 is later than the 3 after it, and 3 is later than 2.
    expect(rows([0, 1, 2, 9, 3, 4]).refused.map(({ line }) => line)).toEqual([5]);
  });

  test('fewer than two samples are no trace, and say so', () => {
    expect(rows([1])).toMatchObject({ trace: null, fault: expect.stringContaining('fewer than two') });
    expect(rows([1, 1])).toMatchObject({ trace: null });
    expect(rows([])).toMatchObject({ trace: null });
  });

  test('a clock that leaps by hours is no gap to fill', () => {
    const times = [...Array.from({ length: 100 }, (_, k) => k / 1000), 1e9];
    expect(rows(times)).toMatchObject({ trace: null, fault: expect.stringContaining('leaps') });
  });
});

describe('missing samples', () => {
  test('are filled by straight lines between neighbours, and by the nearest value at the ends', () => {
    const trace = sampled([0, 1, 2, 3, 4, 5, 6], [NaN, 10, NaN, NaN, 16, 17, NaN]);
    expect([...trace.left!.raw]).toEqual([10, 10, 12, 14, 16, 17, 17]);
    expect(trace.left!.gaps).toEqual([
      { first: 0, last: 0 },
      { first: 2, last: 3 },
      { first: 6, last: 6 },
    ]);
    expect(trace.left!.measured).toBe(3);
  });

  test('each hand has its own', () => {
    const trace = sampled([0, 1, 2], [1, NaN, 3], [1, 5, 3]);
    expect(trace.left!.gaps).toHaveLength(1);
    expect(trace.right!.gaps).toEqual([]);
    expect(trace.right!.measured).toBe(3);
  });

  test('a hand without a single value has no samples', () => {
    const trace = sampled([0, 1, 2], [NaN, NaN, NaN], [1, 2, 3]);
    expect(trace.left).toBeNull();
    expect(trace.right).not.toBeNull();
  });

  test('an absent row and an empty cell beside it are one gap', () => {
    const trace = sampled([0, 1, 2, 4, 5, 6], [0, 1, NaN, 4, 5, 6]);
    expect(trace.left!.gaps).toEqual([{ first: 2, last: 3 }]);
    expect([...trace.left!.raw]).toEqual([0, 1, 2, 3, 4, 5, 6]);
  });
});

describe('times off the grid', () => {
  const jittered = (jitter: number) => Array.from({ length: 101 }, (_, k) => k + (k % 10 === 5 ? jitter : 0));

  test('by up to half a step stay where they are', () => {
    const trace = sampled(jittered(0.4));
    expect(trace.resampled).toBe(false);
    expect([...trace.left!.raw]).toEqual(Array.from({ length: 101 }, (_, k) => k));
  });

  test('are on the grid up to half a step, and off it just beyond', () => {
    // Five steps a little long, then five as much too short: the middle lies off by five times as much.
    const bent = (off: number) => Array.from({ length: 11 }, (_, k) => k + off * Math.min(k, 10 - k));
    expect(sampled(bent(0.098)).resampled).toBe(false);
    expect(sampled(bent(0.1)).resampled).toBe(false);
    expect(sampled(bent(0.102)).resampled).toBe(true);
  });

  test('by more are brought to it by straight lines: a straight series stays one', () => {
    // A clock that is slow in its first half: all steps round to one, but the middle lies far from the even grid.
    const times = Array.from({ length: 101 }, (_, k) => (k < 50 ? 1.1 * k : 55 + 0.9 * (k - 50)));
    const trace = sampled(
      times,
      times.map((time) => 3 + 2 * time),
    );
    expect(trace).toMatchObject({ resampled: true, count: 101 });
    trace.left!.raw.forEach((value, k) => expect(value).toBeCloseTo(3 + (2 * k) / trace.rateHz, 9));
    expect(trace.left!.gaps).toEqual([]);
  });
});
