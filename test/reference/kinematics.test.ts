/** Stroke rate, stroke length and velocity: v = SR × SL (Craig & Pendergast 1979; Figueiredo et al. 2013). */
import { describe, expect, test } from 'vitest';
import { analyseTrial } from '../../core/trial/trial.ts';
import { cycleTime, highHandTime, strokeRate, velocity } from '../../core/stroke/timing.ts';
import { markU } from '../../core/base/uncertainty.ts';
import { PROTOCOL, pull, stroke, trialInput } from '../core/build.ts';
import { check, checks, expectWithin, titleOf } from './values.ts';

const UNKNOWN_CYCLE = { speedVariationPct: null, cycleTimeS: null };

type Swim = { cycle_s: number; distance_m: number; time_s: number };
type Numbers = { v: number; SR_cycles_min: number; SL_m: number };

describe('a swim of one pace', () => {
  test.each(checks<Swim, Numbers>('kinematics.json', 'stroke.T').map((row) => [titleOf(row), row] as const))(
    '%s',
    (_, { inputs, expected, tolerance }) => {
      const startS = 2;
      const strokes = [1, 2, 3, 4].flatMap((k) => [
        pull('left', k, startS + k * inputs.cycle_s, startS + k * inputs.cycle_s + 0.4),
        pull('right', k, startS + (k - 0.5) * inputs.cycle_s, startS + (k - 0.5) * inputs.cycle_s + 0.4),
      ]);
      const result = analyseTrial(
        trialInput({
          protocol: { ...PROTOCOL, sectionFromWallM: [inputs.distance_m, 0] },
          section: { startS, endS: startS + inputs.time_s },
          strokes,
        }),
      );
      const room = { rel: Math.max(tolerance?.rel ?? 0, 1e-12) };
      expectWithin(result.velocity!.value, expected.v, room);
      expectWithin(result.strokeRate!.value, expected.SR_cycles_min, room);
      expectWithin(result.strokeLength!.value, expected.SL_m, room);
      expectWithin((result.strokeRate!.value / 60) * result.strokeLength!.value, result.velocity!.value, {
        rel: 1e-12,
      });
    },
  );

  const count = check<
    { first_s: number; last_s: number; cycles: number },
    { cycle_s: number; SR_cycles_min: number }
  >('kinematics.json', 'stroke.count');
  test(`${titleOf(count)}: uneven cycles in between do not matter`, () => {
    const { first_s: first, last_s: last } = count.inputs;
    const starts = [first, first + 1, first + 2.3, first + 3.2, last];
    const cycle = cycleTime(
      starts.map((start, k) => pull('right', k + 1, start)),
      { startS: first, endS: last },
    )!;
    expectWithin(cycle.value, count.expected.cycle_s, { rel: 1e-12 });
    expectWithin(strokeRate(cycle).value, count.expected.SR_cycles_min, { rel: 1e-12 });
  });
});

describe('velocity read from film', () => {
  const read = check<{ L_m: number; t_s: number; fps: number }, { v: number; u_v: number }>(
    'kinematics.json',
    'sync.velocity',
  );
  test(titleOf(read), () => {
    const section = { startS: 3, endS: 3 + read.inputs.t_s };
    const found = velocity(read.inputs.L_m, section, {
      ...UNKNOWN_CYCLE,
      sectionUM: 0,
      timingUS: markU(1 / read.inputs.fps, 0),
    });
    expectWithin(found.value, read.expected.v, read.tolerance);
    expectWithin(found.u, read.expected.u_v, read.tolerance);
  });

  test('length and time add in squares (JCGM 100 5.1.6): 10 m ± 0.02 in 5.5 s read to 0.01 s', () => {
    const found = velocity(
      10,
      { startS: 0, endS: 5.5 },
      { ...UNKNOWN_CYCLE, sectionUM: 0.02, timingUS: 0.01 },
    );
    expect(found.u).toBeCloseTo((10 / 5.5) * Math.sqrt((0.02 / 10) ** 2 + 2 * (0.01 / 5.5) ** 2), 14);
  });
});

describe('high-hand time', () => {
  const time = check<{ entry_complete_s: number; hand_below_shoulder_s: number }, { s: number }>(
    'kinematics.json',
    'shoulder.time',
  );
  test(titleOf(time), () => {
    const marked = stroke('left', 1, {
      full_reach: time.inputs.entry_complete_s,
      hand_below_shoulder: time.inputs.hand_below_shoulder_s,
    });
    expectWithin(highHandTime(marked)!.value, time.expected.s, time.tolerance);
    expect(highHandTime({ ...marked, entryPosition: 'below' })!.value).toBe(0);
  });
});
