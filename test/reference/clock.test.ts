/** Two clocks and a straight line between them; reading to the nearest frame (JCGM 100:2008, 4.3.7). */
import { describe, expect, test } from 'vitest';
import { fitClock, toTrace, toVideo } from '../../core/clock/clock.ts';
import { markU, rootSumSquares } from '../../core/base/uncertainty.ts';
import { check, checks, expectWithin, titleOf } from './values.ts';

describe('two moments', () => {
  const map = check<
    { device_s: number[]; video_s: number[]; query_device_s: number[] },
    { slope: number; offset_s: number; ppm: number; video_s: number[] }
  >('clock.json', 'sync.twopoint');
  test(titleOf(map), () => {
    // The example maps the device's time to the film's; core's line runs the other way and is read backward.
    const clock = fitClock(
      map.inputs.device_s.map((traceS, k) => ({ traceS, videoS: map.inputs.video_s[k]! })),
    )!;
    map.inputs.query_device_s.forEach((time, k) =>
      expectWithin(toVideo(clock, time), map.expected.video_s[k]!, map.tolerance),
    );
    expectWithin(1 / clock.rate, map.expected.slope, map.tolerance);
    expectWithin(toVideo(clock, 0), map.expected.offset_s, map.tolerance);
    expect(clock.residualS).toBeNull();
  });

  test('and forward, with the roles of the two clocks changed over', () => {
    const clock = fitClock(
      map.inputs.video_s.map((traceS, k) => ({ traceS, videoS: map.inputs.device_s[k]! })),
    )!;
    expectWithin(clock.rate, map.expected.slope, map.tolerance);
    expectWithin(clock.offsetS, map.expected.offset_s, map.tolerance);
    map.inputs.query_device_s.forEach((time, k) =>
      expectWithin(toTrace(clock, time), map.expected.video_s[k]!, map.tolerance),
    );
  });
});

describe('drift', () => {
  type Drift = { ppm: number; seconds: number };
  test.each(checks<Drift, number>('clock.json', 'sync.drift').map((row) => [titleOf(row), row] as const))(
    '%s: what an offset alone leaves, a second pair removes',
    (_, { inputs: { ppm, seconds }, expected }) => {
      const pairs = [0, seconds].map((videoS) => ({ videoS, traceS: 5 + videoS * (1 + ppm * 1e-6) }));
      const [offsetOnly, both] = [fitClock(pairs.slice(0, 1))!, fitClock(pairs)!];
      expectWithin(1000 * (pairs[1]!.traceS - toTrace(offsetOnly, seconds)), expected, { abs: 1e-9 });
      expectWithin(1000 * (pairs[1]!.traceS - toTrace(both, seconds)), 0, { abs: 1e-9 });
    },
  );

  const one = check<{ ppm: number; seconds_from_anchor: number }, number>('clock.json', 'sync.onepoint');
  test(titleOf(one), () => {
    const clock = fitClock([{ traceS: 12, videoS: 10 }])!;
    expect(clock).toEqual({ offsetS: 2, rate: 1, residualS: null, pairs: 1 });
    const { ppm, seconds_from_anchor: away } = one.inputs;
    const truth = 12 + away * (1 + ppm * 1e-6);
    expectWithin(1000 * (truth - toTrace(clock, 10 + away)), one.expected, { abs: 1e-9 });
  });
});

describe('reading to the nearest frame', () => {
  type Frame = { T_ms: number; u_ms: number; u_interval_ms: number };
  test.each(
    checks<{ fps: number }, Frame>('clock.json', 'sync.frame').map((row) => [titleOf(row), row] as const),
  )('%s', (_, { inputs, expected, tolerance }) => {
    const u = markU(1 / inputs.fps, 0)!;
    expectWithin(1000 * u, expected.u_ms, tolerance);
    expectWithin(1000 * rootSumSquares([u, u])!, expected.u_interval_ms, tolerance);
  });
});
