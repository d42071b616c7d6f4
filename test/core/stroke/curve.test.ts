/** Strokes on 0–100 % of the cycle, their mean, and trials brought together at an event. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  alignmentShift,
  CYCLE_POINTS,
  handCurves,
  meanCurve,
  normaliseCycle,
} from '../../../core/stroke/curve.ts';
import { marks, stroke, swim, trace } from '../build.ts';

const grid = { startS: 2, rateHz: 100 };
const seconds = (from: number, to: number) => fc.double({ min: from, max: to, noNaN: true });

describe('a cycle', () => {
  test('of a straight line is that line, whatever the times', () => {
    const line = Float64Array.from({ length: 501 }, (_, k) => 3 * (grid.startS + k / grid.rateHz) - 1);
    fc.assert(
      fc.property(seconds(2, 6.9), seconds(0.001, 5), (startS, lasts) => {
        const endS = Math.min(7, startS + lasts);
        const values = normaliseCycle(line, grid, startS, endS)!;
        expect(values).toHaveLength(CYCLE_POINTS);
        values.forEach((value, pct) =>
          expect(value).toBeCloseTo(3 * (startS + ((endS - startS) * pct) / 100) - 1, 9),
        );
      }),
    );
  });

  test('stays within the samples it lies between', () => {
    const series = fc.array(fc.double({ min: -50, max: 300, noNaN: true }), { minLength: 2, maxLength: 200 });
    fc.assert(
      fc.property(series, seconds(0, 1), seconds(0, 1), (made, a, b) => {
        fc.pre(a !== b);
        const forceN = Float64Array.from(made);
        const at = (part: number) => grid.startS + (part * (made.length - 1)) / grid.rateHz;
        const values = normaliseCycle(forceN, grid, at(Math.min(a, b)), at(Math.max(a, b)));
        // Two times so near that they are the same double have no cycle.
        if (values === null) {
          expect(Math.abs(a - b)).toBeLessThan(1e-9);
          return;
        }
        expect(Math.min(...values)).toBeGreaterThanOrEqual(Math.min(...made) - 1e-9);
        expect(Math.max(...values)).toBeLessThanOrEqual(Math.max(...made) + 1e-9);
      }),
    );
  });

  test('that leaves the trace, or ends before it begins, is none', () => {
    const series = new Float64Array(101);
    expect(normaliseCycle(series, grid, 1.9, 2.5)).toBeNull();
    expect(normaliseCycle(series, grid, 2.5, 3.1)).toBeNull();
    expect(normaliseCycle(series, grid, 2.5, 2.5)).toBeNull();
    expect(normaliseCycle(series, grid, 2, 3)).toHaveLength(101);
    expect(normaliseCycle(new Float64Array(1), grid, 2, 2.5)).toBeNull();
  });
});

describe('the strokes of a hand', () => {
  const sampled = trace((t) => Math.sin(2 * Math.PI * t));
  const series = sampled.left!.raw;

  test('of a regular swim are alike, and their mean is one of them', () => {
    const { curves, leftOut } = handCurves(series, sampled, [], swim(), 'left', 'propulsion_start');
    expect(curves.map((curve) => curve.stroke)).toEqual([1, 2, 3, 4, 5]);
    expect(leftOut).toEqual([
      { stroke: 6, reason: 'The propulsion start of stroke 7, which ends its cycle, is not marked.' },
    ]);
    const { n, mean, sd } = meanCurve(curves)!;
    expect(n).toBe(5);
    mean.forEach((value, pct) => {
      expect(value).toBeCloseTo(Math.sin(2 * Math.PI * (0.8 + pct / 100)), 2);
      expect(sd![pct]).toBeLessThan(1e-9);
    });
  });

  test('mean and SD at a point are those of the values there; SD needs two', () => {
    const curve = (value: number) => ({ values: new Float64Array(CYCLE_POINTS).fill(value) });
    const { mean, sd } = meanCurve([curve(1), curve(2), curve(6)])!;
    expect(mean[50]).toBe(3);
    expect(sd![50]).toBeCloseTo(Math.sqrt(7), 12);
    expect(meanCurve([curve(4)])).toMatchObject({ n: 1, sd: null });
    expect(meanCurve([])).toBeNull();
  });

  test('are left out with a reason', () => {
    const strokes = [
      stroke('left', 1, { propulsion_start: 1 }),
      stroke('left', 2, { propulsion_start: 2 }),
      stroke('left', 3, { propulsion_start: 3 }, { exclusionReason: 'lane rope' }),
      stroke('left', 4, { water_entry: 4, propulsion_start: 4.3 }),
      stroke('left', 5, { water_entry: 5 }),
      stroke('left', 7, { water_entry: 7, propulsion_start: 7.3 }),
      stroke('left', 8, { water_entry: 9, propulsion_start: 9.3 }),
      stroke('right', 1, { propulsion_start: 1.5 }),
    ];
    const gaps = [{ first: 250, last: 260 }];
    const { curves, leftOut } = handCurves(series, sampled, gaps, strokes, 'left', 'propulsion_start');
    expect(curves.map((curve) => curve.stroke)).toEqual([1]);
    expect(leftOut.map(({ stroke: number, reason }) => `${number} ${reason}`)).toEqual([
      '2 Its cycle touches a stretch of missing samples.',
      '3 Left out: lane rope.',
      '4 The propulsion start of stroke 5, which ends its cycle, is not marked.',
      '5 Its propulsion start is not marked.',
      '7 Its cycle leaves the trace.',
      '8 The propulsion start of stroke 9, which ends its cycle, is not marked.',
    ]);
    const byEntry = handCurves(series, sampled, [], strokes, 'left', 'water_entry');
    expect(byEntry.curves.map((curve) => curve.stroke)).toEqual([4]);
  });
});

test('two trials are brought together at an event', () => {
  const shift = alignmentShift(
    marks({ water_entry: 4, propulsion_end: 5 }),
    marks({ water_entry: 9.25 }),
    'water_entry',
  )!;
  expect(shift.value).toBe(-5.25);
  expect(shift.u).toBeCloseTo(0.004 * Math.SQRT2, 12);
  expect(alignmentShift(marks({ water_entry: 4 }), marks({ water_exit: 4 }), 'water_entry')).toBeNull();
});
