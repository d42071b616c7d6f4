/** A mark is put on the nearest frame or sample, and goes from one to the next. */
import fc, { type Arbitrary } from 'fast-check';
import { describe, expect, test } from 'vitest';
import { nudge, snapTo, type SteppedClock } from '../../../core/clock/stepped.ts';

describe('frames and samples', () => {
  const frames: Arbitrary<SteppedClock> = fc
    .array(fc.double({ min: 0.001, max: 0.2, noNaN: true }), { minLength: 1, maxLength: 40 })
    .map((steps) => {
      let at = 0.5;
      return { kind: 'frames', timesS: Float64Array.from(steps, (step) => (at += step)) };
    });
  const samples: Arbitrary<SteppedClock> = fc.record({
    kind: fc.constant('samples'),
    startS: fc.double({ min: -2, max: 2, noNaN: true }),
    rateHz: fc.double({ min: 10, max: 1000, noNaN: true }),
    count: fc.integer({ min: 1, max: 500 }),
  });
  const clock = fc.oneof(frames, samples);
  const timesOf = (made: SteppedClock): number[] =>
    made.kind === 'frames'
      ? [...made.timesS]
      : Array.from({ length: made.count }, (_, k) => made.startS + k / made.rateHz);

  test('snapping takes the nearest, and what lies on one stays', () => {
    fc.assert(
      fc.property(clock, fc.double({ min: -5, max: 10, noNaN: true }), (made, at) => {
        const times = timesOf(made);
        const { index, timeS } = snapTo(made, at)!;
        expect(timeS).toBe(times[index]);
        expect(Math.abs(timeS - at)).toBe(Math.min(...times.map((other) => Math.abs(other - at))));
        expect(snapTo(made, timeS)).toEqual({ index, timeS });
      }),
    );
  });

  test('a nudge goes to the next one and back, and ends where the clock ends', () => {
    fc.assert(
      fc.property(clock, fc.nat(), fc.integer({ min: -3, max: 3 }), (made, which, steps) => {
        const times = timesOf(made);
        const index = which % times.length;
        const there = nudge(made, times[index]!, steps);
        expect(there).toBe(times[index + steps] ?? null);
        if (there !== null) expect(nudge(made, there, -steps)).toBe(times[index]);
      }),
    );
  });

  test('from between two frames the first step goes to a frame beside', () => {
    const film: SteppedClock = { kind: 'frames', timesS: Float64Array.of(0, 0.5, 0.75) };
    expect(nudge(film, 0.625, 1)).toBe(0.75);
    expect(nudge(film, 0.625, -1)).toBe(0.5);
    expect(nudge(film, 0.625, -2)).toBe(0);
    expect(nudge(film, 0.625, 0)).toBe(0.625);
    expect(nudge(film, 9, 1)).toBeNull();
    expect(nudge(film, 9, -1)).toBe(0.75);
    expect(snapTo(film, 0.625)).toEqual({ index: 1, timeS: 0.5 });
    expect(snapTo({ kind: 'frames', timesS: new Float64Array(0) }, 1)).toBeNull();
  });
});
