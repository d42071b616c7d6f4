/** Order while marking: intervals agree with the rules that refuse, and a new mark finds its stroke. */
import fc, { type Arbitrary } from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  allowedInterval,
  isAllowed,
  placeFault,
  strokeForMark,
  type NumberedMarks,
} from '../../../core/marking/edit.ts';
import {
  EVENTS,
  orderFault,
  successionFault,
  type EventName,
  type Marks,
} from '../../../core/stroke/stroke.ts';
import { mark, marks } from '../build.ts';

interface Numbered extends NumberedMarks {
  readonly marks: Marks;
}

/** True where no rule of the contract refuses a stroke of a hand. */
function holds(strokes: readonly Numbered[]): boolean {
  const sorted = strokes.toSorted((a, b) => a.number - b.number);
  return sorted.every(
    (stroke, k) =>
      orderFault(stroke.marks) === null &&
      sorted.slice(0, k).every((before) => successionFault(before.marks, stroke.marks) === null),
  );
}

function withMark(strokes: readonly Numbered[], number: number, event: EventName, timeS: number): Numbered[] {
  const own = strokes.find((stroke) => stroke.number === number)?.marks ?? {};
  return [
    ...strokes.filter((stroke) => stroke.number !== number),
    { number, marks: { ...own, [event]: mark(timeS) } },
  ];
}

/** Strokes that hold the rules: marks on a coarse grid, so that equal moments are common; some marks, some numbers are missing. */
const strokes: Arbitrary<readonly Numbered[]> = fc
  .array(
    fc.record({
      steps: fc.array(fc.integer({ min: 0, max: 3 }), { minLength: 7, maxLength: 7 }),
      below: fc.integer({ min: 0, max: 6 }),
      kept: fc.subarray([...EVENTS], { minLength: 1 }),
      skip: fc.integer({ min: 0, max: 2 }),
    }),
    { maxLength: 5 },
  )
  .map((made) => {
    let time = 1;
    let number = 0;
    return made.map(({ steps, below, kept, skip }) => {
      number += 1 + skip;
      const next = (step: number) => (time += step / 10);
      const entry = next(steps[0]!);
      const complete = next(steps[1]!);
      const start = next(steps[2]!);
      const all = {
        water_entry: entry,
        full_reach: complete,
        hand_below_shoulder: complete + below / 20,
        propulsion_start: start,
        shoulder_plane: next(steps[3]! + 1),
        propulsion_end: next(steps[4]! + 1),
        water_exit: next(steps[5]!),
      };
      time += steps[6]! / 10;
      return { number, marks: marks(Object.fromEntries(kept.map((event) => [event, all[event]]))) };
    });
  })
  .filter(holds);
const event = fc.constantFrom(...EVENTS);
const time = fc.oneof(
  fc.integer({ min: 0, max: 120 }).map((tenths) => tenths / 10),
  fc.double({ min: 0, max: 12, noNaN: true }),
);

describe('where a mark may lie', () => {
  test('is where no rule refuses it, and nowhere else', () => {
    fc.assert(
      fc.property(strokes, fc.integer({ min: 1, max: 12 }), event, time, (hand, number, what, timeS) => {
        const allowed = isAllowed(allowedInterval(hand, number, what), timeS);
        expect(allowed).toBe(holds(withMark(hand, number, what, timeS)));
        expect(placeFault(hand, number, what, timeS) === null).toBe(allowed);
      }),
      { numRuns: 2000 },
    );
  });

  test('a mark stays allowed where it is', () => {
    fc.assert(
      fc.property(strokes, (hand) => {
        for (const { number, marks: own } of hand)
          for (const what of EVENTS)
            if (own[what] !== undefined) expect(placeFault(hand, number, what, own[what].timeS)).toBeNull();
      }),
    );
  });

  const hand = [
    {
      number: 1,
      marks: marks({ water_entry: 1, propulsion_start: 1.3, propulsion_end: 1.7, water_exit: 1.8 }),
    },
    { number: 2, marks: marks({ water_entry: 2.1, propulsion_start: 2.4 }) },
    { number: 3, marks: marks({ water_entry: 3.2 }) },
  ];

  test('is said with the mark that sets it', () => {
    expect(allowedInterval(hand, 2, 'propulsion_end')).toEqual({
      from: { timeS: 2.4, stroke: 2, event: 'propulsion_start', strict: true },
      to: { timeS: 3.2, stroke: 3, event: 'water_entry', strict: false },
    });
    expect(placeFault(hand, 2, 'propulsion_end', 2.2)).toBe(
      'The propulsion end of stroke 2 must come after the propulsion start (2.4000 s); it can lie from 2.4000 s to 3.2000 s.',
    );
    expect(placeFault(hand, 2, 'propulsion_end', 3.5)).toBe(
      'The propulsion end of stroke 2 must come before the water entry of stroke 3 (3.2000 s); it can lie from 2.4000 s to 3.2000 s.',
    );
    expect(placeFault(hand, 1, 'water_entry', 1.4)).toMatch(/; it can lie up to 1\.3000 s\.$/);
    expect(placeFault(hand, 3, 'water_exit', 3)).toMatch(/; it can lie from 3\.2000 s on\.$/);
    const full = [{ number: 1, marks: marks({ propulsion_start: 1, propulsion_end: 1 + 1e-9 }) }];
    expect(placeFault(full, 1, 'shoulder_plane', 1)).toMatch(/leave no room/);
  });
});

describe('the stroke of a new mark', () => {
  function found(hand: readonly Numbered[], what: EventName, timeS: number, current: number | null = null) {
    const outcome = strokeForMark(hand, what, timeS, current);
    if (!outcome.ok) throw new Error(outcome.error.says);
    return outcome.value;
  }
  /** The strokes once the mark is put. */
  function put(
    hand: readonly Numbered[],
    what: EventName,
    timeS: number,
    current: number | null,
  ): Numbered[] {
    const { number, renumber } = found(hand, what, timeS, current);
    const to = new Map(renumber.map(({ from, to: up }) => [from, up]));
    const moved = hand.map((stroke) => ({ ...stroke, number: to.get(stroke.number) ?? stroke.number }));
    return withMark(moved, number, what, timeS).toSorted((a, b) => a.number - b.number);
  }

  test('leaves the order as it should be, loses no mark, and gives every stroke a number of its own', () => {
    fc.assert(
      fc.property(
        strokes,
        event,
        time,
        fc.option(fc.integer({ min: 1, max: 12 })),
        (hand, what, at, current) => {
          const outcome = strokeForMark(hand, what, at, current);
          if (!outcome.ok) {
            expect(outcome.error.says).toMatch(/\.$/);
            return;
          }
          const after = put(hand, what, at, current);
          expect(holds(after)).toBe(true);
          expect(new Set(after.map(({ number }) => number)).size).toBe(after.length);
          const count = (all: readonly Numbered[]) =>
            all.flatMap((stroke) => Object.keys(stroke.marks)).length;
          expect(count(after)).toBe(count(hand) + 1);
          expect(after.length).toBe(hand.length + (outcome.value.isNew ? 1 : 0));
          expect(after.every(({ number }) => number >= 1)).toBe(true);
        },
      ),
      { numRuns: 3000 },
    );
  });

  test('marking a swim from its first moment to its last numbers the strokes from 1', () => {
    const after = [0, 0.15, 0.32, 0.3, 0.5, 0.72, 0.8];
    let hand: Numbered[] = [];
    let current: number | null = null;
    for (let k = 0; k < 5; k++)
      for (const [j, what] of EVENTS.entries()) {
        const at = 2 + 1.1 * k + after[j]!;
        current = found(hand, what, at, current).number;
        expect(current).toBe(k + 1);
        hand = put(hand, what, at, current);
      }
    expect(hand.map(({ number }) => number)).toEqual([1, 2, 3, 4, 5]);
    expect(hand.every((stroke) => Object.keys(stroke.marks).length === 7)).toBe(true);
  });

  test('marking one event through the swim, then another, comes to the same strokes', () => {
    let hand: Numbered[] = [];
    for (const [what, later] of [
      ['propulsion_start', 0.3],
      ['water_entry', 0],
      ['propulsion_end', 0.7],
      ['hand_below_shoulder', 0.35],
    ] as const)
      for (let k = 0; k < 5; k++) hand = put(hand, what, 2 + 1.1 * k + later, null);
    expect(hand.map(({ number, marks: own }) => [number, Object.keys(own).length])).toEqual(
      [1, 2, 3, 4, 5].map((number) => [number, 4]),
    );
  });

  const two = [
    { number: 1, marks: marks({ propulsion_start: 1, propulsion_end: 1.4 }) },
    { number: 2, marks: marks({ propulsion_start: 3.2, propulsion_end: 3.6 }) },
  ];
  test('a stroke found between two pushes the later ones up', () => {
    expect(found(two, 'propulsion_start', 2.1)).toEqual({
      number: 2,
      isNew: true,
      renumber: [{ from: 2, to: 3 }],
      says: 'Propulsion start begins stroke 2; the strokes after it move up by one.',
    });
    expect(found(two, 'propulsion_start', 0.2)).toMatchObject({
      number: 1,
      renumber: [
        { from: 2, to: 3 },
        { from: 1, to: 2 },
      ],
    });
  });

  test('and takes a number that was left free, in proportion to time', () => {
    const [first, second] = [two[0]!, { ...two[1]!, number: 5, marks: marks({ propulsion_start: 5.4 }) }];
    expect(found([first, second], 'propulsion_start', 2.1)).toMatchObject({ number: 2, renumber: [] });
    expect(found([first, second], 'propulsion_start', 4.3)).toMatchObject({ number: 4, renumber: [] });
    expect(found([second], 'propulsion_start', 4.3)).toMatchObject({ number: 4, renumber: [] });
    expect(found([], 'propulsion_start', 4.3)).toMatchObject({ number: 1, isNew: true });
  });

  test('a mark far from every stroke does not join one', () => {
    expect(found([two[0]!], 'water_exit', 2)).toMatchObject({ number: 1, isNew: false });
    expect(found([two[0]!], 'water_exit', 9, 1)).toMatchObject({ number: 2, isNew: true });
  });

  test('the current stroke comes first; a second mark of an event in a stroke is refused', () => {
    const open = [
      { number: 4, marks: marks({ water_entry: 1 }) },
      { number: 5, marks: marks({ water_exit: 2 }) },
    ];
    expect(found(open, 'propulsion_start', 1.5).number).toBe(4);
    expect(found(open, 'propulsion_start', 1.5, 5).number).toBe(5);
    expect(strokeForMark(two, 'propulsion_start', 1, null)).toMatchObject({
      error: {
        code: 'no_room',
        says: '1.0000 s lies in stroke 1, whose propulsion start is already marked at 1.0000 s.',
      },
    });
    expect(strokeForMark(two, 'propulsion_end', 1.2, null)).toMatchObject({ ok: false });
    expect(strokeForMark(two, 'water_exit', 3.4, null)).toMatchObject({
      error: {
        says: expect.stringMatching(
          /^The water exit of stroke 2 must come after the propulsion end/,
        ) as string,
      },
    });
  });
});
