/**
 * Progress of marking, on a swim made here: half a sine of 100 N over each stroke, of which it is known how many there
 * are. How well strokes are found on a trace: test/core/force/strokecounter-truth.test.ts.
 */
import { describe, expect, it } from 'vitest';
import type { Hand } from '../../../core/base/hand.ts';
import { markingProgress, shownCheck, type MarkedTrial } from '../../../core/trial/progress.ts';
import type { TrialSeries } from '../../../core/trial/result.ts';
import type { EventName, Stroke } from '../../../core/stroke/stroke.ts';
import type { CheckFinding } from '../../../core/trial/check.ts';

const RATE_HZ = 200;
/** Strokes begin at 1, 2, … 8 s and last half a second; the section holds those of 3 to 6 s. */
const STARTS = [1, 2, 3, 4, 5, 6, 7, 8];
const SECTION = { startS: 2.8, endS: 6.8 };
const trace = { startS: 0, rateHz: RATE_HZ };

function force(): Float64Array {
  return Float64Array.from({ length: 10 * RATE_HZ }, (_, k) => {
    const since = STARTS.map((start) => k / RATE_HZ - start).find((after) => after >= 0 && after <= 0.5);
    return since === undefined ? 0 : 100 * Math.sin((Math.PI * since) / 0.5);
  });
}

const hand = (forceN: Float64Array | null) => ({ channel: null, pressureKpa: null, forceN, fault: null });
const SERIES: TrialSeries = { left: hand(force()), right: hand(null) };

function stroke(
  number: number,
  events: Partial<Record<EventName, number>>,
  more: { hand?: Hand; exclusionReason?: string } = {},
): Stroke {
  const marks = Object.entries(events).map(([event, timeS]) => [event, { timeS, uS: 0.01, clock: 'trace' }]);
  return {
    hand: 'left',
    number,
    marks: Object.fromEntries(marks) as Stroke['marks'],
    entryPosition: null,
    breath: null,
    exclusionReason: null,
    ...more,
  } as unknown as Stroke;
}
const whole = (number: number, atS: number) =>
  stroke(number, { propulsion_start: atS, propulsion_end: atS + 0.5 });
const progress = (strokes: readonly Stroke[], more: Partial<MarkedTrial> = {}) =>
  markingProgress({ strokes, section: SECTION, trace, ...more }, SERIES);

describe('strokes done of strokes expected', () => {
  it('are those that the force shows in the section', () => {
    const { left, right } = progress([whole(1, 3), whole(2, 4)]);
    expect([left.done, left.expected]).toEqual([2, 4]);
    expect(left.missing).toEqual([
      expect.stringMatching(
        /^About 2 strokes of the left hand are not marked yet, by its force: the first at 5\.\d s\.$/,
      ),
    ]);
    // No force, nothing expected.
    expect(right).toEqual({ done: 0, expected: null, missing: [] });
  });

  it('miss nothing once every stroke is marked, those outside the section apart', () => {
    const { left } = progress([3, 4, 5, 6].map((start, k) => whole(k + 1, start)));
    expect(left).toEqual({ done: 4, expected: 4, missing: [] });
    const withOne = progress([1, 3, 4, 5, 6].map((start, k) => whole(k + 1, start))).left;
    expect([withOne.done, withOne.expected]).toEqual([4, 4]);
  });

  it('name what a stroke that is begun lacks; one that is left out lacks nothing', () => {
    const begun = stroke(2, { water_entry: 3.9, propulsion_start: 4 });
    const entry = stroke(3, { water_entry: 4.9 });
    const { left } = progress([whole(1, 3), begun, entry]);
    expect(left.missing.slice(0, 2)).toEqual([
      'Left stroke 2 lacks its propulsion end.',
      'Left stroke 3 lacks its propulsion start and propulsion end.',
    ]);
    const out = stroke(2, { propulsion_start: 4 }, { exclusionReason: 'lane rope' });
    expect(progress([whole(1, 3), out, whole(3, 5), whole(4, 6)]).left.missing).toEqual([
      expect.stringMatching(/not marked yet/),
    ]);
  });

  it('expect nothing without a section', () => {
    const { left } = progress([whole(1, 3)], { section: null });
    expect([left.done, left.expected, left.missing]).toEqual([1, null, []]);
  });
});

describe('the check on a screen', () => {
  const few: CheckFinding = {
    verdict: 'swim_again',
    says: '2 strokes count; 3 are asked for.',
    tooFewOf: 'left',
  };
  const gap: CheckFinding = { verdict: 'swim_again', says: 'Samples were lost.' };

  it('says what is missing in place of too few strokes of a hand that is marked by half', () => {
    const half = progress([whole(1, 3), whole(2, 4)]);
    const check = shownCheck({ verdict: 'swim_again', findings: [few] }, half);
    expect([check.verdict, check.unfinished]).toEqual(['look', true]);
    expect(check.findings.map(({ says }) => says)).toEqual(half.left.missing);
  });

  it('lets any other reason to swim again stand', () => {
    const half = progress([whole(1, 3)]);
    const check = shownCheck({ verdict: 'swim_again', findings: [few, gap] }, half);
    expect([check.verdict, check.findings[0]]).toEqual(['swim_again', gap]);
  });

  it('is the check itself once all is marked, and where the other hand lacks something', () => {
    const all = progress([3, 4, 5, 6].map((start, k) => whole(k + 1, start)));
    const check = { verdict: 'swim_again', findings: [few] } as const;
    expect(shownCheck(check, all)).toEqual({ ...check, unfinished: false });
    const right = { ...few, tooFewOf: 'right' } as const;
    expect(shownCheck({ ...check, findings: [right] }, progress([whole(1, 3)])).unfinished).toBe(false);
  });
});
