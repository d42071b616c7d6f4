/**
 * Index of coordination: worked sequences after the definition of Chollet, Chalies & Chatard 2000, Int J Sports Med
 * 21:54–59. Each left–right–left sequence gives two lags; the cycle time is the one the example states.
 */
import { describe, expect, test } from 'vitest';
import { coordinationPct, handOver, trialCoordination } from '../../core/stroke/coordination.ts';
import type { Hand } from '../../core/base/hand.ts';
import { markU } from '../../core/base/uncertainty.ts';
import { pull } from '../core/build.ts';
import { check, checks, expectWithin, titleOf } from './values.ts';

type Propulsions = readonly (readonly [number, number])[];
type Sequence = { left_propulsion_s: Propulsions; right_propulsion_s: Propulsions; cycle_s: number };
type Lags = {
  lag_end_left_to_start_right_pct: number;
  lag_end_right_to_start_left_pct: number;
  IdC_pct: number;
  mode: string;
};

const pulls = (hand: Hand, times: Propulsions) =>
  times.map(([start, end], k) => pull(hand, k + 1, start, end));
const modeOf = (pct: number) =>
  Math.abs(pct) < 1e-9 ? 'opposition' : pct < 0 ? 'catch-up' : 'superposition';

describe('worked sequences', () => {
  test.each(checks<Sequence, Lags>('coordination.json', 'idc.').map((row) => [titleOf(row), row] as const))(
    '%s',
    (_, { inputs, expected, tolerance }) => {
      const strokes = [
        ...pulls('left', inputs.left_propulsion_s),
        ...pulls('right', inputs.right_propulsion_s),
      ];
      const overs = strokes.flatMap((stroke) => handOver(stroke, strokes, inputs.cycle_s) ?? []);
      expect(overs.map(({ hand, stroke, partnerStroke }) => [hand, stroke, partnerStroke])).toEqual([
        ['left', 2, 1],
        ['right', 1, 1],
      ]);
      const [intoLeft, intoRight] = overs.map((over) => coordinationPct(over, inputs.cycle_s));
      expectWithin(intoRight!, expected.lag_end_left_to_start_right_pct, tolerance);
      expectWithin(intoLeft!, expected.lag_end_right_to_start_left_pct, tolerance);
      const trial = trialCoordination(overs, { value: inputs.cycle_s, u: 0 });
      expectWithin(trial.leftPct, expected.lag_end_right_to_start_left_pct, tolerance);
      expectWithin(trial.rightPct, expected.lag_end_left_to_start_right_pct, tolerance);
      expectWithin(trial.both!.value, expected.IdC_pct, tolerance);
      expect(modeOf(trial.both!.value)).toBe(expected.mode);
    },
  );
});

describe('uncertainty of one lag read from film', () => {
  const lag = check<{ fps: number; cycle_s: number }, { u_one_lag_pct: number }>('clock.json', 'sync.idc');
  test(titleOf(lag), () => {
    const u = markU(1 / lag.inputs.fps, 0);
    const strokes = [pull('left', 1, 0, 0.4), pull('right', 1, 0.5, 0.9), pull('left', 2, 1, 1.4)].map(
      (stroke) => ({
        ...stroke,
        marks: Object.fromEntries(
          Object.entries(stroke.marks).map(([event, mark]) => [event, { ...mark, uS: u }]),
        ),
      }),
    );
    const overs = strokes.flatMap((stroke) => handOver(stroke, strokes, lag.inputs.cycle_s) ?? []);
    // Two lags, one a hand, average to 1/√2 of one; the cycle time is taken as known.
    const both = trialCoordination(overs, { value: lag.inputs.cycle_s, u: 0 }).both!;
    expectWithin(both.u! * Math.SQRT2, lag.expected.u_one_lag_pct, lag.tolerance);
  });
});
