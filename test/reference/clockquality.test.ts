/** Uncertainty along a line through moments seen on both clocks. */
import { test } from 'vitest';
import { clockAlong, clockQuality, clockUAt, pairReadingU } from '../../core/clock/quality.ts';
import { check, expectWithin, titleOf } from './values.ts';

const frame = check<{ fps: number }, { u_ms: number }>('clock-along.json', 'sync.frame.50');
test(titleOf(frame), () => {
  const u = pairReadingU({ frameStepS: 1 / frame.inputs.fps, sampleStepS: 0 });
  expectWithin(1000 * u!, frame.expected.u_ms, frame.tolerance);
});

const along = check<{ anchors_device_s: number[]; u_anchor_s: number; query_s: number[] }, number[]>(
  'clock-along.json',
  'sync.twopoint.unc',
);
test(titleOf(along), () => {
  const pairs = along.inputs.anchors_device_s.map((videoS) => ({ videoS, traceS: videoS + 3 }));
  const quality = clockQuality(pairs, { frameStepS: 1 / 50, sampleStepS: 0 });
  along.inputs.query_s.forEach((videoS, k) =>
    expectWithin(clockUAt(quality, videoS), along.expected[k]!, along.tolerance),
  );
  expectWithin(clockAlong(quality, 2, 92)!.worst.uS, along.expected[3]!, along.tolerance);
});

const h3 = check<{ t_k_C: number[]; b_k_C: number[] }, { u_b_30C: number }>('gum-h3.json', 'gum.h3.printed');
test(titleOf(h3), () => {
  // A clock line is the same line with a rate near 1: the correction b is what a rate of 1 leaves over.
  const pairs = h3.inputs.t_k_C.map((videoS, k) => ({ videoS, traceS: videoS + h3.inputs.b_k_C[k]! }));
  const quality = clockQuality(pairs, { frameStepS: 0, sampleStepS: 0 });
  expectWithin(clockUAt(quality, 30), h3.expected.u_b_30C, h3.tolerance);
});
