/**
 * The order of stroke events while they are marked: where an event may lie, and to which stroke a new mark belongs.
 * The rules themselves stand in `stroke` (contract: formats.md section 1); here they are asked, pair by pair, so that
 * what is shown while marking is what is refused on reading.
 */
import { SAME_MOMENT_S } from '../clock/clock.ts';
import { largest, smallest } from '../base/extent.ts';
import {
  type EventName,
  type Mark,
  orderFault,
  successionFault,
  EVENTS,
  eventWords,
} from '../stroke/stroke.ts';
import { type Outcome, failed, done } from '../base/refusal.ts';

/** The marks of one stroke of a hand, on the trial's clock. A `Stroke` is one. */
export interface NumberedMarks {
  readonly number: number;
  readonly marks: Partial<Readonly<Record<EventName, Pick<Mark, 'timeS'>>>>;
}

/** One end of the allowed interval, and the mark that sets it. */
export interface Bound {
  readonly timeS: number;
  readonly stroke: number;
  readonly event: EventName;
  /** True where the new mark must not lie on the bound itself. */
  readonly strict: boolean;
}

/** Where an event may lie: from null, as early as one likes; to null, as late. */
export interface AllowedInterval {
  readonly from: Bound | null;
  readonly to: Bound | null;
}

type Relation = 'free' | 'not_before' | 'after';

/** How a later event of the same stroke must follow an earlier one, asked of the rule itself. */
function withinStroke(first: EventName, second: EventName): Relation {
  const fault = (firstS: number, secondS: number) =>
    orderFault({ [first]: at(firstS), [second]: at(secondS) }) !== null;
  if (!fault(1, 0)) return 'free';
  return fault(0, 0) ? 'after' : 'not_before';
}

/** How an event of a later stroke must follow one of an earlier stroke of the same hand. */
function betweenStrokes(first: EventName, second: EventName): Relation {
  return successionFault({ [first]: at(1) }, { [second]: at(0) }) === null ? 'free' : 'not_before';
}

function at(timeS: number): Mark {
  return { timeS, uS: null, clock: 'trace', sharedUS: 0, clockUS: 0 };
}

function tableOf(relation: (first: EventName, second: EventName) => Relation) {
  return new Map(
    EVENTS.map((first) => [first, new Map(EVENTS.map((second) => [second, relation(first, second)]))]),
  );
}

const WITHIN = tableOf(withinStroke);

const BETWEEN = tableOf(betweenStrokes);

/**
 * Where an event of a stroke may lie, s, given every other mark of the hand. The event's own mark, where there is one,
 * does not count: it is the one being moved.
 * @param strokes of one hand, any order; the numbered stroke need not be among them
 */
export function allowedInterval(
  strokes: readonly NumberedMarks[],
  number: number,
  event: EventName,
): AllowedInterval {
  let from: Bound | null = null;
  let to: Bound | null = null;
  for (const { number: stroke, marks } of strokes)
    for (const other of EVENTS) {
      const mark = marks[other];
      if (mark === undefined || (stroke === number && other === event)) continue;
      const bound = (relation: Relation): Bound | null =>
        relation === 'free'
          ? null
          : { timeS: mark.timeS, stroke, event: other, strict: relation === 'after' };
      const table = stroke === number ? WITHIN : BETWEEN;
      const early = stroke <= number ? bound(table.get(other)!.get(event)!) : null;
      const late = stroke >= number ? bound(table.get(event)!.get(other)!) : null;
      if (early !== null && tighter(early, from, 1)) from = early;
      if (late !== null && tighter(late, to, -1)) to = late;
    }
  return { from, to };
}

function tighter(bound: Bound, than: Bound | null, direction: 1 | -1): boolean {
  if (than === null) return true;
  const gain = direction * (bound.timeS - than.timeS);
  return gain > 0 || (gain === 0 && bound.strict && !than.strict);
}

/** True where a time (s) lies in the interval. */
export function isAllowed({ from, to }: AllowedInterval, timeS: number): boolean {
  return (
    (from === null || reaches(timeS - from.timeS, from.strict)) &&
    (to === null || reaches(to.timeS - timeS, to.strict))
  );
}

function reaches(gap: number, strict: boolean): boolean {
  return strict ? gap > SAME_MOMENT_S : gap >= -SAME_MOMENT_S;
}

/** One sentence on why an event cannot lie at a time (s) and where it can; null where it can. */
export function placeFault(
  strokes: readonly NumberedMarks[],
  number: number,
  event: EventName,
  timeS: number,
): string | null {
  const interval = allowedInterval(strokes, number, event);
  if (isAllowed(interval, timeS)) return null;
  const { from, to } = interval;
  const early = from !== null && !reaches(timeS - from.timeS, from.strict);
  const bound = (early ? from : to)!;
  const whose = bound.stroke === number ? '' : ` of stroke ${bound.stroke}`;
  const side = early ? 'after' : 'before';
  const wrong = `The ${eventWords(event)} of stroke ${number} must come ${side} the ${eventWords(bound.event)}${whose} (${seconds(bound.timeS)})`;
  return `${wrong}; ${room(interval)}.`;
}

function room(interval: AllowedInterval): string {
  const { from, to } = interval;
  if (from === null) return `it can lie up to ${seconds(to!.timeS)}`;
  if (to === null) return `it can lie from ${seconds(from.timeS)} on`;
  if (!isAllowed(interval, (from.timeS + to.timeS) / 2))
    return 'the marks around it leave no room, so move or remove one of them first';
  return `it can lie from ${seconds(from.timeS)} to ${seconds(to.timeS)}`;
}

function seconds(timeS: number): string {
  return `${timeS.toFixed(4)} s`;
}

/** The stroke that a new mark belongs to. */
export interface StrokeForMark {
  readonly number: number;
  readonly isNew: boolean;
  /** Strokes that take another number first, the highest first, so that no two ever share one. */
  readonly renumber: readonly { readonly from: number; readonly to: number }[];
  /** One sentence for the person who marks. */
  readonly says: string;
}

export interface StrokeForMarkFault {
  readonly code: 'no_room';
  readonly says: string;
  readonly todo: string;
}

/** No arm stroke of a sprint lasts longer, s (common practice, no source). */
const LONGEST_STROKE_S = 3;

/**
 * Finds the stroke of a hand that a new mark belongs to.
 * A stroke that lacks the event, has room for it at that time, has a mark within three seconds and no later stroke
 * begun by then comes first: the current one before all others, then the latest that has begun, else the first to come.
 * Otherwise a new stroke begins. It takes a free number between its neighbours, in proportion to the time between them,
 * for a missing number is a stroke that was not marked; where none is free, it takes the next number and all later
 * strokes move up by one.
 * @param strokes of one hand, any order
 * @param current number of the stroke being marked; null where there is none
 * @param timeS s, on the trial's clock
 * Fails where the event is marked at that very moment, or the time lies inside a stroke that cannot take it.
 */
export function strokeForMark(
  strokes: readonly NumberedMarks[],
  event: EventName,
  timeS: number,
  current: number | null,
): Outcome<StrokeForMark, StrokeForMarkFault> {
  const sorted = strokes
    .filter((stroke) => firstS(stroke) < Infinity)
    .toSorted((a, b) => a.number - b.number);
  const twice = sorted.find(({ marks }) => isSameMoment(marks[event]?.timeS, timeS));
  if (twice !== undefined) return failed(inTheWay(sorted, twice, event, timeS));
  const open = sorted.filter((stroke, k) => {
    const next = sorted[k + 1];
    return (
      stroke.marks[event] === undefined &&
      (next === undefined || timeS <= firstS(next) + SAME_MOMENT_S) &&
      timesOf(stroke).some((own) => Math.abs(own - timeS) <= LONGEST_STROKE_S) &&
      isAllowed(allowedInterval(sorted, stroke.number, event), timeS)
    );
  });
  const chosen =
    open.find(({ number }) => number === current) ??
    open.findLast((stroke) => firstS(stroke) <= timeS) ??
    open[0];
  if (chosen !== undefined) {
    const says = `${capital(eventWords(event))} of stroke ${chosen.number}.`;
    return done({ number: chosen.number, isNew: false, renumber: [], says });
  }
  const around = sorted.find(
    (stroke) => firstS(stroke) < timeS - SAME_MOMENT_S && lastS(stroke) > timeS + SAME_MOMENT_S,
  );
  if (around !== undefined) return failed(inTheWay(sorted, around, event, timeS));
  return done(newStroke(sorted, event, timeS));
}

function isSameMoment(markedS: number | undefined, timeS: number): boolean {
  return markedS !== undefined && Math.abs(markedS - timeS) <= SAME_MOMENT_S;
}

function inTheWay(
  strokes: readonly NumberedMarks[],
  around: NumberedMarks,
  event: EventName,
  timeS: number,
): StrokeForMarkFault {
  const own = around.marks[event];
  const marked =
    own === undefined
      ? null
      : `${seconds(timeS)} lies in stroke ${around.number}, whose ${eventWords(event)} is already marked at ${seconds(own.timeS)}.`;
  return {
    code: 'no_room',
    says:
      marked ??
      placeFault(strokes, around.number, event, timeS) ??
      `${seconds(timeS)} lies inside stroke ${around.number}, but more than ${LONGEST_STROKE_S} s from its marks or after the next stroke has begun.`,
    todo: 'Move or remove that mark first.',
  };
}

function newStroke(sorted: readonly NumberedMarks[], event: EventName, timeS: number): StrokeForMark {
  const previous = sorted.findLast((stroke) => lastS(stroke) <= timeS + SAME_MOMENT_S);
  const next = sorted.find((stroke) => stroke.number > (previous?.number ?? 0));
  const low = previous?.number ?? 0;
  const high = next?.number ?? Infinity;
  const begins = (number: number) => `${capital(eventWords(event))} begins stroke ${number}`;
  if (high - low === 1) {
    const renumber = sorted
      .filter(({ number }) => number >= high)
      .toReversed()
      .map(({ number }) => ({ from: number, to: number + 1 }));
    const says = `${begins(high)}; the strokes after it move up by one.`;
    return { number: high, isNew: true, renumber, says };
  }
  const number =
    previous === undefined || next === undefined ? nearestFree(low, high) : between(previous, next, timeS);
  return { number, isNew: true, renumber: [], says: `${begins(number)}.` };
}

/** Beside one neighbour only: the number next to it. */
function nearestFree(low: number, high: number): number {
  return low > 0 || high === Infinity ? low + 1 : high - 1;
}

function between(previous: NumberedMarks, next: NumberedMarks, timeS: number): number {
  const [low, high] = [previous.number, next.number];
  const part = (timeS - firstS(previous)) / (firstS(next) - firstS(previous));
  return Math.min(high - 1, Math.max(low + 1, low + Math.round(part * (high - low))));
}

function timesOf({ marks }: NumberedMarks): number[] {
  return Object.values(marks).map(({ timeS }) => timeS);
}

function firstS(stroke: NumberedMarks): number {
  return smallest(timesOf(stroke));
}

function lastS(stroke: NumberedMarks): number {
  return largest(timesOf(stroke));
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}
