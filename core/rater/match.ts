/**
 * What two raters made of the same trials, stroke beside stroke, for their agreement. Raters may count strokes
 * differently, so strokes are matched by when they begin, not by their number.
 */
import type { TrialResult, StrokeResult } from '../trial/result.ts';
import type { SwimmerPair } from './clustered.ts';
import { HANDS, type Hand } from '../base/hand.ts';
import { median } from '../base/statistics.ts';
import { EVENTS, eventWords, type EntryPosition } from '../stroke/stroke.ts';

/** How strokes are matched, for a person. */
export const MATCHING =
  'Strokes of a hand are matched where the two propulsion starts are nearest to each other and less than half a stroke cycle apart; strokes without a propulsion start by their number.';

/** A trial as two raters' marks give it. */
export interface TwiceRated {
  /** Code of who swam it. */
  readonly swimmer: string;
  readonly first: TrialResult;
  readonly second: TrialResult;
}

export type StrokePair = readonly [StrokeResult, StrokeResult];

/** A measured thing with its values by both raters. */
export interface Compared {
  readonly name: string;
  readonly unit: string;
  /** True for moments, whose spread over a trial is no spread between subjects. */
  readonly isMoment: boolean;
  readonly pairs: readonly SwimmerPair[];
}

/** What is to be told where raters read propulsion from different things; null where they do not. */
export function basisDoubt(trials: readonly TwiceRated[]): string | null {
  const count = trials.filter(
    ({ first, second }) =>
      first.propulsionBasis !== null &&
      second.propulsionBasis !== null &&
      first.propulsionBasis !== second.propulsionBasis,
  ).length;
  if (count === 0) return null;
  const which = trials.length === 1 ? 'the one trial' : `${count} of ${trials.length} trials`;
  return `In ${which} one rater read propulsion from force and the other, in part or whole, on film. Propulsion read from force ends before the hand leaves the water, so propulsion marks, phases, forces and the index of coordination differ there by more than raters do.`;
}

/** The strokes of two raters that are the same stroke. */
export function matchStrokes({ first, second }: TwiceRated): readonly StrokePair[] {
  return HANDS.flatMap((hand) => matchHand(ofHand(first, hand), ofHand(second, hand)));
}

function ofHand({ strokes }: TrialResult, hand: Hand): readonly StrokeResult[] {
  return strokes.filter(({ stroke }) => stroke.hand === hand);
}

function matchHand(first: readonly StrokeResult[], second: readonly StrokeResult[]): readonly StrokePair[] {
  const halfS = halfCycle(first) ?? halfCycle(second);
  const nearest = (one: StrokeResult, others: readonly StrokeResult[]) => {
    const at = startOf(one);
    const rest = others.filter((other) => (startOf(other) === null) === (at === null));
    if (at === null || halfS === null)
      return rest.find(({ stroke }) => stroke.number === one.stroke.number) ?? null;
    const distance = (other: StrokeResult) => Math.abs(startOf(other)! - at);
    const [best] = rest.toSorted((a, b) => distance(a) - distance(b));
    return best !== undefined && distance(best) < halfS ? best : null;
  };
  return first.flatMap((one) => {
    const other = nearest(one, second);
    return other !== null && nearest(other, first) === one ? [[one, other] as const] : [];
  });
}

function startOf({ stroke }: StrokeResult): number | null {
  return stroke.marks.propulsion_start?.timeS ?? null;
}

/** Half the median interval between the propulsion starts of strokes with neighbouring numbers, s. */
function halfCycle(strokes: readonly StrokeResult[]): number | null {
  const cycle = median(strokes.flatMap((stroke) => cycleOf(stroke, strokes) ?? []));
  return cycle === null ? null : cycle / 2;
}

function cycleOf(one: StrokeResult, strokes: readonly StrokeResult[]): number | null {
  const { hand, number } = one.stroke;
  const next = strokes.find(({ stroke }) => stroke.hand === hand && stroke.number === number + 1);
  const [from, to] = [startOf(one), next === undefined ? null : startOf(next)];
  return from === null || to === null ? null : to - from;
}

type StrokeValue = (stroke: StrokeResult, all: readonly StrokeResult[]) => number | null;

type TrialValue = (result: TrialResult) => number | null;

const OF_STROKES: readonly (readonly [string, string, StrokeValue])[] = [
  ['stroke cycle time', 's', cycleOf],
  ['index of coordination', '%', ({ idcPct }) => idcPct],
  ['high-hand time', 's', ({ highHand }) => highHand?.value ?? null],
  ['entry and catch', '%', ({ entryCatchPct }) => entryCatchPct],
  ['pull', '%', ({ pullPct }) => pullPct],
  ['push', '%', ({ pushPct }) => pushPct],
  ['recovery', '%', ({ recoveryPct }) => recoveryPct],
  ['peak force', 'N', ({ peakForce }) => peakForce?.value ?? null],
  ['mean force', 'N', ({ meanForce }) => meanForce?.value ?? null],
  ['impulse', 'N·s', ({ impulse }) => impulse?.value ?? null],
];

const OF_TRIALS: readonly (readonly [string, string, TrialValue])[] = [
  ['stroke cycle time of a trial', 's', ({ cycleTime }) => cycleTime?.value ?? null],
  ['index of coordination of a trial', '%', ({ idc }) => idc?.value ?? null],
  ['high-hand time of a trial', 's', ({ highHand }) => highHand?.value ?? null],
];

/** Moments of the seven events (s, on the trial's clock) and the quantities of strokes and trials that rest on them. */
export function compareRaters(trials: readonly TwiceRated[]): readonly Compared[] {
  const both = (values: readonly (readonly [string, number | null, number | null])[]) =>
    values.flatMap(([swimmer, first, second]) =>
      first === null || second === null ? [] : [{ swimmer, first, second }],
    );
  const strokes = (value: StrokeValue) =>
    both(
      trials.flatMap((trial) =>
        matchStrokes(trial).map(
          ([one, other]) =>
            [trial.swimmer, value(one, trial.first.strokes), value(other, trial.second.strokes)] as const,
        ),
      ),
    );
  return [
    ...EVENTS.map((event) => ({
      name: eventWords(event),
      unit: 's',
      isMoment: true,
      pairs: strokes(({ stroke }) => stroke.marks[event]?.timeS ?? null),
    })),
    ...OF_STROKES.map(([name, unit, value]) => ({ name, unit, isMoment: false, pairs: strokes(value) })),
    ...OF_TRIALS.map(([name, unit, value]) => ({
      name,
      unit,
      isMoment: false,
      pairs: both(
        trials.map(({ swimmer, first, second }) => [swimmer, value(first), value(second)] as const),
      ),
    })),
  ];
}

/** Entry positions of the strokes that both raters judged; `undecided` is no judgement. */
export function compareEntries(
  trials: readonly TwiceRated[],
): readonly (readonly [EntryPosition, EntryPosition])[] {
  return trials.flatMap((trial) =>
    matchStrokes(trial).flatMap(([{ stroke: one }, { stroke: other }]) =>
      one.entryPosition === null ||
      other.entryPosition === null ||
      one.entryPosition === 'undecided' ||
      other.entryPosition === 'undecided'
        ? []
        : [[one.entryPosition, other.entryPosition] as const],
    ),
  );
}
