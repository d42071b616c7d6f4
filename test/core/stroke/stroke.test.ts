/** The order of a stroke's marks, rule by rule (formats.md section 1, events.csv). */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  EVENTS,
  isInSection,
  liesInSection,
  orderFault,
  strokeCounts,
  strokesOf,
  successionFault,
  type EventName,
} from '../../../core/stroke/stroke.ts';
import { marks, pull, stroke } from '../build.ts';

const RULES: readonly (readonly [EventName, 'not before' | 'after', EventName])[] = [
  ['full_reach', 'not before', 'water_entry'],
  ['propulsion_start', 'not before', 'full_reach'],
  ['shoulder_plane', 'after', 'propulsion_start'],
  ['propulsion_end', 'after', 'shoulder_plane'],
  ['water_exit', 'not before', 'propulsion_end'],
  ['hand_below_shoulder', 'not before', 'full_reach'],
  // Rules that follow where the mark between them is not there.
  ['propulsion_start', 'not before', 'water_entry'],
  ['shoulder_plane', 'after', 'full_reach'],
  ['shoulder_plane', 'after', 'water_entry'],
  ['propulsion_end', 'after', 'propulsion_start'],
  ['propulsion_end', 'after', 'water_entry'],
  ['water_exit', 'after', 'shoulder_plane'],
  ['water_exit', 'after', 'propulsion_start'],
  ['hand_below_shoulder', 'not before', 'water_entry'],
];

describe.each(RULES)('%s %s %s', (later, rule, earlier) => {
  test('later is in order', () => expect(orderFault(marks({ [earlier]: 1, [later]: 1.01 }))).toBeNull());

  test('earlier is not, and the sentence names both with their times', () => {
    const says = orderFault(marks({ [earlier]: 1.01, [later]: 1 }))!;
    for (const word of [later, earlier]) expect(says).toContain(word.replaceAll('_', ' '));
    expect(says).toContain('1.0000 s');
    expect(says).toContain('1.0100 s');
  });

  test('at the same moment', () => {
    const says = orderFault(marks({ [earlier]: 1, [later]: 1 }));
    if (rule === 'after') expect(says).not.toBeNull();
    else expect(says).toBeNull();
  });
});

describe('what the order leaves free', () => {
  test('hand_below_shoulder against propulsion_start, shoulder_plane and propulsion_end', () => {
    const chain = { full_reach: 1, propulsion_start: 1.2, shoulder_plane: 1.4, propulsion_end: 1.6 };
    for (const below of [1, 1.1, 1.2, 1.3, 1.5, 1.7])
      expect(orderFault(marks({ ...chain, hand_below_shoulder: below }))).toBeNull();
    expect(orderFault(marks({ ...chain, hand_below_shoulder: 0.99 }))).not.toBeNull();
  });

  test('a stroke with one mark, or none', () => {
    expect(orderFault({})).toBeNull();
    for (const event of EVENTS) expect(orderFault(marks({ [event]: 5 }))).toBeNull();
  });

  test('any ascending times of the chain are in order; any two of them changed over are not', () => {
    const chain = EVENTS.filter((event) => event !== 'hand_below_shoulder');
    const rising = fc.uniqueArray(fc.integer({ min: 0, max: 5000 }), { minLength: 6, maxLength: 6 });
    fc.assert(
      fc.property(rising, fc.integer({ min: 0, max: 4 }), (times, at) => {
        const sorted = times.toSorted((a, b) => a - b).map((time) => time / 1000);
        const as = (values: readonly number[]) =>
          orderFault(marks(Object.fromEntries(chain.map((event, k) => [event, values[k]!]))));
        expect(as(sorted)).toBeNull();
        [sorted[at], sorted[at + 1]] = [sorted[at + 1]!, sorted[at]!];
        expect(as(sorted)).not.toBeNull();
      }),
      { numRuns: 100 },
    );
  });
});

describe('between strokes of one hand', () => {
  test('water_exit of k is not after water_entry of k + 1', () => {
    expect(successionFault(marks({ water_exit: 2 }), marks({ water_entry: 2 }))).toBeNull();
    expect(successionFault(marks({ water_exit: 2 }), marks({ water_entry: 2.1 }))).toBeNull();
    const says = successionFault(marks({ water_exit: 2.1 }), marks({ water_entry: 2 }))!;
    expect(says).toContain('water exit');
    expect(says).toContain('water entry');
  });

  test('holds through marks that are not there', () => {
    expect(successionFault(marks({ propulsion_end: 2.1 }), marks({ propulsion_start: 2 }))).not.toBeNull();
    expect(successionFault(marks({ propulsion_end: 2 }), marks({ propulsion_start: 2.1 }))).toBeNull();
    expect(successionFault({}, marks({ propulsion_start: 2 }))).toBeNull();
    expect(successionFault(marks({ water_exit: 3 }), {})).toBeNull();
  });

  test('a stroke of which only hand_below_shoulder is marked follows too', () => {
    expect(successionFault(marks({ water_exit: 3 }), marks({ hand_below_shoulder: 2 }))).not.toBeNull();
  });
});

describe('the section', () => {
  const section = { startS: 2, endS: 4 };

  test('is closed', () => {
    expect([1.999, 2, 3, 4, 4.001].map((time) => isInSection(time, section))).toEqual([
      false,
      true,
      true,
      true,
      false,
    ]);
  });

  test('a stroke lies in it with both propulsion marks, and counts unless excluded', () => {
    const inside = pull('left', 1, 2, 4);
    expect(liesInSection(inside, section)).toBe(true);
    expect(strokeCounts(inside, section)).toBe(true);
    expect(strokeCounts({ ...inside, exclusionReason: 'reach to the wall' }, section)).toBe(false);
    expect(liesInSection({ ...inside, exclusionReason: 'reach to the wall' }, section)).toBe(true);
    expect(liesInSection(pull('left', 1, 1.9, 3), section)).toBe(false);
    expect(liesInSection(pull('left', 1, 3, 4.1), section)).toBe(false);
    expect(liesInSection(pull('left', 1, 3), section)).toBe(false);
    expect(liesInSection(inside, null)).toBe(false);
    // Entry before the section and exit after it do not matter.
    const wide = stroke('left', 1, {
      water_entry: 1,
      propulsion_start: 2.5,
      propulsion_end: 3.5,
      water_exit: 5,
    });
    expect(liesInSection(wide, section)).toBe(true);
  });

  test('strokes of a hand come by number', () => {
    const all = [pull('left', 3, 3), pull('right', 1, 1), pull('left', 1, 1)];
    expect(strokesOf(all, 'left').map(({ number }) => number)).toEqual([1, 3]);
  });
});
