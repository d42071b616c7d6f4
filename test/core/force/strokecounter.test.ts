/** The stroke counter: its laws, on swims made here. How it does on the sample day: strokecounter-truth.test.ts. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { countStrokes } from '../../../core/force/strokecounter.ts';

const RATE = 200;

interface Swim {
  readonly cycleS: number;
  readonly strokes: number;
  /** Depth of the fall between pull and push, part of the peak. */
  readonly dip: number;
  readonly peaks: readonly number[];
}

/** A hand's load: quiet, then strokes of a lower pull and a higher push over 40 % of the cycle, then quiet. */
function loadOf({ cycleS, strokes, dip, peaks }: Swim, rateHz = RATE): Float64Array {
  const seconds = 3 + strokes * cycleS;
  return Float64Array.from({ length: Math.round(seconds * rateHz) }, (_, k) => {
    const t = k / rateHz - 1.5;
    const stroke = Math.floor(t / cycleS);
    if (t < 0 || stroke >= strokes) return 0;
    const phase = (t - stroke * cycleS) / (0.4 * cycleS);
    if (phase >= 1) return 0;
    const hump = (from: number, to: number) =>
      phase < from || phase > to ? 0 : Math.sin((Math.PI * (phase - from)) / (to - from));
    const floor = (1 - dip) * 0.6 * Math.sin(Math.PI * phase);
    return peaks[stroke % peaks.length]! * Math.max(0.7 * hump(0, 0.45), hump(0.5, 1), floor);
  });
}

/** Noise that is the same on every run, uniform between −1 and 1. */
function noiseOf(length: number, seed = 1): Float64Array {
  let state = seed;
  return Float64Array.from({ length }, () => {
    state = (state * 1103515245 + 12345) % 2147483648;
    return (2 * state) / 2147483648 - 1;
  });
}

const swim = fc.record({
  cycleS: fc.double({ min: 0.85, max: 2.2, noNaN: true }),
  strokes: fc.integer({ min: 2, max: 14 }),
  dip: fc.double({ min: 0, max: 1, noNaN: true }),
  peaks: fc.array(fc.double({ min: 60, max: 110, noNaN: true }), { minLength: 1, maxLength: 5 }),
});
const grid = { startS: 0, rateHz: RATE };

describe('the count', () => {
  test('is right for every made swim, also where pull and push fall apart to nothing between them', () => {
    fc.assert(
      fc.property(swim, (made) => {
        expect(countStrokes(loadOf(made), grid)).toHaveLength(made.strokes);
      }),
    );
  });

  test('does not ask for the scale or the zero: kPa, N and raw give the same strokes', () => {
    fc.assert(
      fc.property(
        swim,
        fc.double({ min: 1e-3, max: 1e4, noNaN: true }),
        fc.double({ min: -50, max: 50, noNaN: true }),
        (made, scale, zero) => {
          const load = loadOf(made);
          const times = (of: Float64Array) => countStrokes(of, grid).map(({ peakS }) => peakS);
          expect(times(load.map((value) => scale * (value + zero)))).toEqual(times(load));
        },
      ),
    );
  });

  test('follows the clock: a trace that starts later has the same strokes later', () => {
    fc.assert(
      fc.property(swim, fc.integer({ min: -1000, max: 1000 }), (made, laterS) => {
        const load = loadOf(made);
        const later = countStrokes(load, { startS: laterS, rateHz: RATE });
        countStrokes(load, grid).forEach((stroke, k) => {
          for (const time of ['startS', 'endS', 'peakS'] as const)
            expect(later[k]![time]).toBeCloseTo(stroke[time] + laterS, 6);
          expect(later[k]!.peakN).toBe(stroke.peakN);
        });
        expect(later).toHaveLength(made.strokes);
      }),
    );
  });

  test.each([100, 250, 500, 1000])('holds at %i Hz, with noise, drift and gaps', (rateHz) => {
    fc.assert(
      fc.property(swim, (made) => {
        const load = loadOf(made, rateHz);
        const noise = noiseOf(load.length);
        const spoiled = load.map((value, k) => {
          const gap = k % (3 * rateHz) < 0.08 * rateHz;
          return gap ? NaN : value + 12 * noise[k]! + (25 * k) / load.length;
        });
        expect(countStrokes(spoiled, { startS: 0, rateHz })).toHaveLength(made.strokes);
      }),
      { numRuns: 30 },
    );
  });

  test('a long wait, a tap and a hard knock add none; a hindered stroke counts', () => {
    const made: Swim = { cycleS: 1.2, strokes: 10, dip: 0.4, peaks: [100] };
    const load = loadOf(made);
    const waits = new Float64Array(load.length + 60 * RATE);
    waits.set(load, 30 * RATE);
    waits.fill(80, 10 * RATE, 10 * RATE + 4);
    expect(countStrokes(waits, grid)).toHaveLength(10);
    const weak = loadOf({ ...made, peaks: [100, 100, 100, 33, 100, 100, 100, 100, 100, 100] });
    expect(countStrokes(weak, grid)).toHaveLength(10);
  });

  test('each stroke lies around its peak, in order, on samples, and its peak is a value of the series', () => {
    fc.assert(
      fc.property(swim, (made) => {
        const load = loadOf(made);
        let last = -Infinity;
        for (const { startS, endS, peakS, peakN } of countStrokes(load, grid)) {
          expect(startS).toBeGreaterThan(last);
          expect(peakS).toBeGreaterThanOrEqual(startS);
          expect(peakS).toBeLessThanOrEqual(endS);
          expect(load[Math.round(peakS * RATE)]).toBe(peakN);
          last = endS;
        }
      }),
    );
  });
});

describe('nothing to count', () => {
  test('silence, white noise, missing samples and a trace too short give none', () => {
    expect(countStrokes(new Float64Array(10 * RATE).fill(8256), grid)).toEqual([]);
    expect(countStrokes(noiseOf(20 * RATE), grid)).toEqual([]);
    expect(countStrokes(new Float64Array(10 * RATE).fill(NaN), grid)).toEqual([]);
    expect(countStrokes(new Float64Array(0), grid)).toEqual([]);
    expect(countStrokes(Float64Array.of(0, 1, 0), grid)).toEqual([]);
  });

  test('a stroke that an end of the trace cuts off is none', () => {
    const load = loadOf({ cycleS: 1.2, strokes: 6, dip: 0.4, peaks: [100] });
    const cut = Math.round((1.5 + 5 * 1.2 + 0.3) * RATE);
    expect(countStrokes(load.subarray(0, cut), grid)).toHaveLength(5);
  });
});
