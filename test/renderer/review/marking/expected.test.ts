/** Where the next mark is expected. The strokes are invented; the expected times are worked out by hand beside them. */
import { describe, expect, it } from 'vitest';
import type { NumberedMarks } from '../../../../core/marking/edit.ts';
import type { EventName } from '../../../../core/stroke/stroke.ts';
import { aimAt } from '../../../../renderer/review/marking/aiming.ts';
import { expectedAfter, expectedFirst } from '../../../../renderer/review/marking/expected.ts';

const stroke = (number: number, times: Partial<Record<EventName, number>>): NumberedMarks => ({
  number,
  marks: Object.fromEntries(Object.entries(times).map(([event, timeS]) => [event, { timeS }])),
});
const whole = (number: number, entry: number) =>
  stroke(number, {
    water_entry: entry,
    full_reach: entry + 0.1,
    propulsion_start: entry + 0.25,
    propulsion_end: entry + 0.75,
    water_exit: entry + 0.8,
  });
const pushed = (number: number, start: number) =>
  stroke(number, { propulsion_start: start, propulsion_end: start + 0.5 });

describe('the next mark is expected', () => {
  it('as long before the stroke’s own propulsion as in the stroke before it', () => {
    const own = [whole(4, 1), pushed(5, 2.35)];
    // 2.35 s − 0.25 s; then 2.35 s − 0.15 s.
    const first = expectedAfter(own, [], { stroke: 4, event: 'water_exit' });
    expect(first).toMatchObject({ stroke: 5, event: 'water_entry' });
    expect(first!.timeS).toBeCloseTo(2.1, 12);
    const marked = [own[0]!, stroke(5, { water_entry: 2.08, propulsion_start: 2.35, propulsion_end: 2.85 })];
    const next = expectedAfter(marked, [], { stroke: 5, event: 'water_entry' });
    expect(next).toMatchObject({ stroke: 5, event: 'full_reach' });
    // The entry is nearer to it (0.10 s) than the propulsion (0.15 s): 2.08 s + 0.10 s.
    expect(next!.timeS).toBeCloseTo(2.18, 12);
  });

  it('one cycle on where the stroke has no mark yet', () => {
    const own = [whole(4, 1), whole(5, 2.1)];
    const next = expectedAfter(own, [], { stroke: 5, event: 'water_exit' });
    // 2.1 s and a cycle of 1.1 s.
    expect(next).toMatchObject({ stroke: 6, event: 'water_entry' });
    expect(next!.timeS).toBeCloseTo(3.2, 12);
  });

  it('as in the other hand, where this one has nothing yet but its propulsion', () => {
    const first = expectedFirst([pushed(6, 5), pushed(7, 6.1)], [whole(6, 4)]);
    expect(first).toMatchObject({ stroke: 6, event: 'water_entry' });
    expect(first!.timeS).toBeCloseTo(4.75, 12);
  });

  it('nowhere in the first stroke that is marked', () => {
    const own = [stroke(1, { water_entry: 1 }), pushed(2, 2.3)];
    expect(expectedAfter(own, [], { stroke: 1, event: 'water_entry' })).toBeNull();
    expect(expectedFirst([], [])).toBeNull();
  });
});

describe('an event’s key pressed again', () => {
  it('moves the mark near the cursor, where it may lie, and begins no stroke', () => {
    const strokes = [whole(4, 1), whole(5, 2.1)];
    expect(aimAt(strokes, 'water_entry', 2.04)).toMatchObject({
      stroke: 5,
      isPossible: true,
      replaces: true,
      isNew: false,
      renumber: [],
    });
    // The exit of stroke 4 lies at 1.8 s; no entry of the next may come before its propulsion has ended.
    expect(aimAt(strokes, 'full_reach', 2.15)).toMatchObject({ stroke: 5, replaces: true });
    expect(aimAt(strokes, 'full_reach', 2.05)).toMatchObject({ isPossible: false });
    expect(aimAt(strokes, 'water_entry', 3.2)).toMatchObject({ stroke: 6, isNew: true, replaces: false });
  });
});
