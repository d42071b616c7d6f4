/** Cycle time, phase shares, high-hand time and entry position (formats.md section 2). */
import { describe, expect, test } from 'vitest';
import {
  commonEntryPosition,
  cycleTime,
  meanOf,
  phaseShares,
  highHandTime,
  velocity,
} from '../../../core/stroke/timing.ts';
import { mark, pull, stroke, wholeStroke } from '../build.ts';

const wide = { startS: 0, endS: 100 };
const starts = (hand: 'left' | 'right', ...times: readonly number[]) =>
  times.map((time, k) => pull(hand, k + 1, time));

describe('stroke cycle time', () => {
  test('pools the intervals of both hands', () => {
    const strokes = [...starts('left', 1, 2, 3.2), ...starts('right', 1.5, 2.6)];
    expect(cycleTime(strokes, wide)!.value).toBeCloseTo((1 + 1.2 + 1.1) / 3, 12);
  });

  test('no interval spans a missing number', () => {
    expect(cycleTime([pull('left', 1, 1), pull('left', 3, 3)], wide)).toBeNull();
    expect(cycleTime([pull('left', 1, 1), pull('left', 2, 2), pull('left', 4, 5)], wide)!.value).toBe(1);
  });

  test('nor a stroke without a propulsion start', () => {
    const strokes = [pull('left', 1, 1), stroke('left', 2, { propulsion_end: 2.4 }), pull('left', 3, 3)];
    expect(cycleTime(strokes, wide)).toBeNull();
  });

  test('both ends lie in the closed section', () => {
    const strokes = starts('left', 1, 2, 3, 4.5);
    expect(cycleTime(strokes, { startS: 1, endS: 3 })!.value).toBe(1);
    expect(cycleTime(strokes, { startS: 1.01, endS: 4.49 })!.value).toBe(1);
    expect(cycleTime(strokes, { startS: 3, endS: 4.5 })!.value).toBe(1.5);
    expect(cycleTime(strokes, { startS: 2.1, endS: 4.4 })).toBeNull();
  });

  test('takes a stroke that is excluded: its start is a moment like any other', () => {
    const strokes = starts('left', 1, 2, 3).map((one) => ({ ...one, exclusionReason: 'lane rope' }));
    expect(cycleTime(strokes, wide)!.value).toBe(1);
  });

  test('inner marks of an unbroken run cancel in its uncertainty; runs and hands add', () => {
    const u = 0.004;
    expect(cycleTime(starts('left', 1, 2, 3, 4), wide)!.u).toBeCloseTo(Math.sqrt(2 * u ** 2) / 3, 15);
    const broken = [pull('left', 1, 1), pull('left', 2, 2), pull('left', 4, 4), pull('left', 5, 5)];
    expect(cycleTime(broken, wide)!.u).toBeCloseTo(Math.sqrt(4 * u ** 2) / 2, 15);
    const both = [...starts('left', 1, 2, 3), ...starts('right', 1.5, 2.5)];
    expect(cycleTime(both, wide)!.u).toBeCloseTo(Math.sqrt(4 * u ** 2) / 3, 15);
  });

  test('an end of unknown uncertainty makes it unknown; a mark inside a run does not', () => {
    const with_ = (at: number) =>
      starts('left', 1, 2, 3).map((one, k) =>
        k === at ? { ...one, marks: { propulsion_start: mark(k + 1, null) } } : one,
      );
    expect(cycleTime(with_(0), wide)).toEqual({ value: 1, u: null });
    expect(cycleTime(with_(1), wide)!.u).not.toBeNull();
  });
});

const EXACT = { sectionUM: 0, timingUS: 0, speedVariationPct: null, cycleTimeS: null };

describe('velocity', () => {
  test('has no uncertainty where a part is not known', () => {
    expect(velocity(10, { startS: 1, endS: 6 }, { ...EXACT, sectionUM: null, timingUS: 0.01 })).toEqual({
      value: 2,
      u: null,
    });
    expect(velocity(10, { startS: 1, endS: 6 }, { ...EXACT, sectionUM: 0.02, timingUS: null })).toEqual({
      value: 2,
      u: null,
    });
    expect(velocity(10, { startS: 1, endS: 6 }, EXACT)).toEqual({ value: 2, u: 0 });
  });
});

describe('phase shares', () => {
  const [one, two] = [wholeStroke('left', 1, 3), wholeStroke('left', 2, 4)];

  test('entry and catch, pull, push and recovery make up the cycle', () => {
    const shares = phaseShares(one, two);
    expect(shares.entryCatchPct).toBeCloseTo(30, 10);
    expect(shares.pullPct).toBeCloseTo(20, 10);
    expect(shares.pushPct).toBeCloseTo(22, 10);
    expect(shares.recoveryPct).toBeCloseTo(28, 10);
  });

  test('a missing mark empties the shares that need it; without the next entry all are empty', () => {
    const { shoulder_plane: _, ...rest } = one.marks;
    expect(phaseShares({ ...one, marks: rest }, two)).toMatchObject({ pullPct: null, pushPct: null });
    expect(phaseShares({ ...one, marks: rest }, two).entryCatchPct).toBeCloseTo(30, 10);
    const none = { entryCatchPct: null, pullPct: null, pushPct: null, recoveryPct: null };
    expect(phaseShares(one, null)).toEqual(none);
    expect(phaseShares(one, pull('left', 2, 4.3))).toEqual(none);
  });
});

describe('high-hand time', () => {
  const marked = stroke('left', 1, { full_reach: 3.1, hand_below_shoulder: 3.4 });

  test('from full reach to hand below shoulder', () => {
    const found = highHandTime({ ...marked, entryPosition: 'above' })!;
    expect(found.value).toBeCloseTo(0.3, 12);
    expect(found.u).toBeCloseTo(0.004 * Math.SQRT2, 15);
  });

  test('is 0 without an uncertainty where the hand enters below, with marks or without', () => {
    expect(highHandTime({ ...marked, entryPosition: 'below' })).toEqual({
      value: 0,
      u: null,
      sharedUS: null,
    });
    expect(highHandTime(stroke('left', 1, {}, { entryPosition: 'below' }))).toEqual({
      value: 0,
      u: null,
      sharedUS: null,
    });
  });

  test('is empty where a mark is missing', () => {
    expect(highHandTime(stroke('left', 1, { full_reach: 3 }))).toBeNull();
    expect(highHandTime(stroke('left', 1, { hand_below_shoulder: 3 }))).toBeNull();
  });

  test('is never negative, though a mapped clock leaves dust between two equal moments', () => {
    const dusty = stroke('left', 1, { full_reach: 3 + 4e-10, hand_below_shoulder: 3 });
    expect(highHandTime(dusty)!.value).toBeGreaterThanOrEqual(0);
  });
});

describe('entry position of a trial', () => {
  const judged = (...positions: readonly ('above' | 'level' | 'below' | null)[]) =>
    commonEntryPosition(positions.map((entryPosition, k) => stroke('left', k + 1, {}, { entryPosition })));

  test('is the most frequent, mixed on a tie, empty where none was judged', () => {
    expect(judged('above', 'below', 'above')).toBe('above');
    expect(judged('below', null, null, null)).toBe('below');
    expect(judged('above', 'level')).toBe('mixed');
    expect(judged('above', 'above', 'level', 'level', 'below')).toBe('mixed');
    expect(judged(null, null)).toBeNull();
    expect(judged()).toBeNull();
  });
});

test('a mean is over the values that are there', () => {
  expect(meanOf([1, null, 3])).toBe(2);
  expect(meanOf([0, null])).toBe(0);
  expect(meanOf([null])).toBeNull();
});
