/** Before a mark is made: which stroke it would belong to, where its event may lie, and what it makes of the rows. */
import { largest, smallest } from '../../../core/base/extent.ts';
import type { Hand } from '../../../core/base/hand.ts';
import {
  allowedInterval,
  placeFault,
  strokeForMark,
  type AllowedInterval,
  type NumberedMarks,
} from '../../../core/marking/edit.ts';
import type { JudgementRow, MarkRow } from '../../../core/marking/words.ts';
import { EVENTS, eventWords, type EventName } from '../../../core/stroke/stroke.ts';
import { isTimed, type RowMark, type TimedMark } from './placement.ts';

export type Renumbering = readonly { readonly from: number; readonly to: number }[];

/** What pressing an event's key would do now. */
export interface Aim {
  readonly event: EventName;
  /** The stroke it would belong to, or stands against. */
  readonly stroke: number;
  readonly isNew: boolean;
  readonly renumber: Renumbering;
  readonly interval: AllowedInterval;
  /** Which stroke, as a sentence; or why there is no room for it at the moment. */
  readonly says: string;
  readonly isPossible: boolean;
  /** True where it would take the place of the mark that the stroke has of it already. */
  readonly replaces: boolean;
}

/** The strokes of a hand by their marks on the trial's clock. */
export function strokesOfHand(marks: readonly RowMark[], hand: Hand): readonly NumberedMarks[] {
  const own = marks.filter(isTimed).filter(({ row }) => row.hand === hand);
  return [...Map.groupBy(own, ({ row }) => row.stroke)]
    .map(([number, its]) => ({
      number,
      marks: Object.fromEntries(its.map(({ row, timeS }) => [row.event, { timeS }])),
    }))
    .toSorted((a, b) => a.number - b.number);
}

/** The stroke of a hand that has begun last by a moment; the first one where none has; null without any. */
export function strokeBegunBy(strokes: readonly NumberedMarks[], timeS: number): number | null {
  const begun = strokes.findLast(({ marks }) => firstS(marks) <= timeS + ROOM_S);
  return (begun ?? strokes[0])?.number ?? null;
}

/** Events that may begin a stroke between others, which then move up: any other one there is rather a slip. */
const BEGINNINGS: ReadonlySet<EventName> = new Set(['water_entry', 'propulsion_start']);

/** A mark of the same event this near is the one that is meant: no hand does it twice in that time, s (common practice, no source). */
const AGAIN_S = 0.3;

/** Room for a moment that was mapped from one clock to another and back, s. */
const ROOM_S = 1e-6;

function firstS(marks: NumberedMarks['marks']): number {
  return smallest(Object.values(marks).map(({ timeS }) => timeS));
}

/** What an event's key would do at a moment (s, trial's clock). */
export function aimAt(strokes: readonly NumberedMarks[], event: EventName, timeS: number): Aim {
  const again = strokes.find(({ number, marks }) => {
    const apartS = Math.abs((marks[event]?.timeS ?? Infinity) - timeS);
    return apartS > ROOM_S && apartS < AGAIN_S && placeFault(strokes, number, event, timeS) === null;
  });
  if (again !== undefined) {
    const stroke = again.number;
    const interval = allowedInterval(strokes, stroke, event);
    const says = `Moves the ${eventWords(event)} of stroke ${stroke} here.`;
    return { event, stroke, isNew: false, renumber: [], interval, says, isPossible: true, replaces: true };
  }
  const found = strokeForMark(strokes, event, timeS, null);
  if (found.ok && (found.value.renumber.length === 0 || BEGINNINGS.has(event))) {
    const { number, isNew, renumber, says } = found.value;
    const shifted = strokes.map((stroke) => ({
      ...stroke,
      number: renumber.find(({ from }) => from === stroke.number)?.to ?? stroke.number,
    }));
    const interval = allowedInterval(shifted, number, event);
    return { event, stroke: number, isNew, renumber, interval, says, isPossible: true, replaces: false };
  }
  const stroke = strokeBegunBy(strokes, timeS)!;
  const interval = allowedInterval(strokes, stroke, event);
  const says = found.ok
    ? (placeFault(strokes, stroke, event, timeS) ??
      `Between these strokes a new one begins with its water entry or propulsion start, not with its ${eventWords(event)}.`)
    : `${found.error.says} ${found.error.todo}`;
  return { event, stroke, isNew: false, renumber: [], interval, says, isPossible: false, replaces: false };
}

/** The event that comes next: the first of a stroke's that is still missing and has room at the moment. */
export function nextEvent(aims: readonly Aim[], strokes: readonly NumberedMarks[]): EventName {
  const possible = aims.filter(({ isPossible, replaces }) => isPossible && !replaces);
  const joins = possible.filter(({ isNew }) => !isNew);
  const latest = largest(joins.map(({ stroke }) => stroke));
  const own = strokes.find(({ number }) => number === latest)?.marks ?? {};
  const lastMarked = EVENTS.findLastIndex((event) => own[event] !== undefined);
  const joining = joins.filter(({ stroke }) => stroke === latest);
  const after = joining.find(({ event }) => EVENTS.indexOf(event) > lastMarked);
  return (after ?? joining[0] ?? possible[0] ?? aims[0]!).event;
}

/** Why a mark cannot be moved to a moment (s, trial's clock), as a sentence; null where it can. */
export function moveFault(
  strokes: readonly NumberedMarks[],
  { row }: TimedMark,
  timeS: number,
): string | null {
  return placeFault(strokes, row.stroke, row.event, timeS);
}

/** Rows with strokes of a hand under their new numbers. */
export function renumbered(rows: readonly MarkRow[], hand: Hand, renumber: Renumbering): readonly MarkRow[] {
  if (renumber.length === 0) return rows;
  const to = new Map(renumber.map((step) => [step.from, step.to]));
  return rows.map((row) =>
    row.hand === hand && to.has(row.stroke) ? { ...row, stroke: to.get(row.stroke)! } : row,
  );
}

/**
 * Why strokes of a hand cannot take new numbers: one of them carries a judgement, which would then belong to another.
 * Null where none does.
 */
export function renumberFault(
  judgements: readonly JudgementRow[],
  hand: Hand,
  renumber: Renumbering,
): string | null {
  const judged = judgements.find(
    (row) => row.hand === hand && renumber.some(({ from }) => from === row.stroke),
  );
  if (judged === undefined) return null;
  return `A new stroke here would give ${hand} stroke ${judged.stroke}, which is judged, another number: take its judgement back first, then mark the stroke and judge again.`;
}

/** Rows with one more mark, or with the mark of the same stroke and event replaced. */
export function withMark(rows: readonly MarkRow[], mark: MarkRow): readonly MarkRow[] {
  const isIt = (row: MarkRow) =>
    row.hand === mark.hand && row.stroke === mark.stroke && row.event === mark.event;
  return rows.some(isIt) ? rows.map((row) => (isIt(row) ? mark : row)) : [...rows, mark];
}
