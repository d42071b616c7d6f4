/** The partner rules of the index of coordination, one by one (formats.md section 2). */
import { describe, expect, test } from 'vitest';
import { coordinationPct, handOver, trialCoordination } from '../../../core/stroke/coordination.ts';
import type { Stroke } from '../../../core/stroke/stroke.ts';
import { mark, pull } from '../build.ts';

const T = 1;
const over = (stroke: Stroke, ...others: Stroke[]) => handOver(stroke, [stroke, ...others], T);
const own = pull('left', 2, 2, 2.4);

describe('the partner', () => {
  test('is the opposite hand’s stroke with the latest propulsion start before this one', () => {
    const found = over(
      own,
      pull('right', 1, 0.6, 0.95),
      pull('right', 2, 1.5, 1.9),
      pull('right', 3, 2.5, 2.9),
    )!;
    expect(found).toMatchObject({ hand: 'left', stroke: 2, partnerStroke: 2 });
    expect(coordinationPct(found, T)).toBeCloseTo(-10, 10);
  });

  test('is found whatever the order of the list', () => {
    const strokes = [
      pull('right', 3, 2.5, 2.9),
      own,
      pull('right', 2, 1.5, 1.9),
      pull('right', 1, 0.6, 0.95),
    ];
    expect(handOver(own, strokes, T)!.partnerStroke).toBe(2);
  });

  test('has to start before, not at the same moment', () => {
    expect(over(own, pull('right', 1, 2, 2.4))).toBeNull();
    expect(over(own, pull('right', 1, 1.9999, 2.4))).not.toBeNull();
  });

  test('may end after this start: overlap is positive; at it: zero; before it: negative', () => {
    const idc = (end: number) => coordinationPct(over(own, pull('right', 1, 1.5, end))!, T);
    expect(idc(2.05)).toBeCloseTo(5, 10);
    expect(idc(2)).toBe(0);
    expect(idc(1.9)).toBeCloseTo(-10, 10);
  });

  test('is given in % of the cycle: half the cycle time, twice the index', () => {
    const found = over(own, pull('right', 1, 1.5, 1.9))!;
    expect(coordinationPct(found, T / 2)).toBeCloseTo(2 * coordinationPct(found, T), 10);
  });
});

describe('there is none', () => {
  test('where the other hand has no stroke, or none before', () => {
    expect(over(own)).toBeNull();
    expect(over(own, pull('right', 1, 2.5, 2.9))).toBeNull();
    expect(over(own, pull('left', 1, 1, 1.4))).toBeNull();
  });

  test('where this stroke has no propulsion start', () => {
    const unmarked: Stroke = { ...own, marks: { propulsion_end: mark(2.4) } };
    expect(over(unmarked, pull('right', 1, 1.5, 1.9))).toBeNull();
  });

  test('where the partner has no propulsion end: an earlier stroke that has one does not step in', () => {
    expect(over(own, pull('right', 1, 0.6, 0.95), pull('right', 2, 1.5))).toBeNull();
  });

  test('where this hand has another start between the partner’s and this one', () => {
    expect(over(own, pull('right', 1, 1.2, 1.5), pull('left', 1, 1.3, 1.6))).toBeNull();
    expect(over(own, pull('right', 1, 1.2, 1.5), pull('left', 1, 1.1, 1.4))).not.toBeNull();
  });

  test('a start in between counts though that stroke’s end is not marked, or it is excluded', () => {
    expect(over(own, pull('right', 1, 1.2, 1.5), pull('left', 1, 1.3))).toBeNull();
    const excluded = { ...pull('left', 1, 1.3, 1.6), exclusionReason: 'lane rope' };
    expect(over(own, pull('right', 1, 1.2, 1.5), excluded)).toBeNull();
  });

  test('for the hand’s first marked start, where the partner’s is more than a cycle earlier', () => {
    expect(over(own, pull('right', 1, 0.9, 1.3))).toBeNull();
    expect(over(own, pull('right', 1, 1, 1.3))).not.toBeNull();
    expect(over(own, pull('right', 1, 1.1, 1.3))).not.toBeNull();
  });

  test('that limit holds for every stroke: where both hands miss one the index does not leap a cycle', () => {
    const before = pull('left', 1, 0.5, 0.8);
    expect(over(own, before, pull('right', 1, 0.9, 1.3))).toBeNull();
    const third = { ...own, number: 3 };
    expect(over(third, pull('left', 4, 2.9, 3.1), pull('right', 1, 0.9, 1.3))).toBeNull();
  });

  test('an excluded partner is a partner still: the other arm did pull', () => {
    expect(over(own, { ...pull('right', 1, 1.5, 1.9), exclusionReason: 'lane rope' })).not.toBeNull();
  });
});

describe('of a trial', () => {
  const strokes = [
    pull('left', 1, 1, 1.45),
    pull('right', 1, 1.5, 2),
    pull('left', 2, 2, 2.45),
    pull('right', 2, 2.5, 3.02),
    pull('left', 3, 3, 3.45),
  ];
  const overs = strokes.flatMap((stroke) => handOver(stroke, strokes, T) ?? []);

  test('is the mean of both hands’ means, not of all strokes', () => {
    const uneven = overs.slice(0, 3);
    const found = trialCoordination(uneven, { value: T, u: 0.002 });
    expect(uneven.map(({ hand }) => hand)).toEqual(['right', 'left', 'right']);
    expect(found.leftPct).toBeCloseTo(0, 10);
    expect(found.rightPct).toBeCloseTo(-5, 10);
    expect(found.both!.value).toBeCloseTo(-2.5, 10);
  });

  test('is empty where a hand has none; the other hand’s stands', () => {
    const left = overs.filter(({ hand }) => hand === 'left');
    expect(trialCoordination(left, { value: T, u: 0 })).toMatchObject({ rightPct: null, both: null });
    expect(trialCoordination(left, { value: T, u: 0 }).leftPct).toBeCloseTo(1, 10);
    expect(trialCoordination([], { value: T, u: 0 })).toEqual({ leftPct: null, rightPct: null, both: null });
  });

  test('its uncertainty: marks average over strokes and hands, the cycle time is shared', () => {
    const u = 0.004;
    const both = trialCoordination(overs, { value: T, u: 0.002 }).both!;
    const reading = (100 / T) ** 2 * 0.25 * ((2 * 2 * u ** 2) / 4 + (2 * 2 * u ** 2) / 4);
    expect(both.u).toBeCloseTo(Math.sqrt(reading + ((both.value * 0.002) / T) ** 2), 12);
  });

  test('has no uncertainty where a part of it is not known', () => {
    expect(trialCoordination(overs, { value: T, u: null }).both!.u).toBeNull();
    const unknown = { ...overs[0]!, start: mark(1.5, null) };
    expect(trialCoordination([unknown, ...overs.slice(1)], { value: T, u: 0 }).both!.u).toBeNull();
  });
});
