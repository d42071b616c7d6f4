/**
 * Where the next event of a stroke is expected, from the cycles that are marked: the same event, as long after a mark
 * that both strokes have. All times s on the trial's clock. It only says where to look; nothing is marked by it.
 */
import { mean } from '../../../core/base/statistics.ts';
import type { NumberedMarks } from '../../../core/marking/edit.ts';
import { EVENTS, type EventName } from '../../../core/stroke/stroke.ts';

export interface Expected {
  readonly stroke: number;
  readonly event: EventName;
  readonly timeS: number;
}

/** Cycles that a guess is the mean of. */
const CYCLES = 3;

type Strokes = readonly NumberedMarks[];

const timeOf = ({ marks }: NumberedMarks, event: EventName) => marks[event]?.timeS;
const eventsOf = ({ marks }: NumberedMarks) =>
  EVENTS.filter((event) => marks[event] !== undefined).toSorted((a, b) => marks[a]!.timeS - marks[b]!.timeS);

/**
 * The event that follows one just marked, in the order in which another stroke has them: of the same stroke, else the
 * first that its next stroke lacks. Null where no other stroke, of this hand or of the other, shows what follows.
 */
export function expectedAfter(
  own: Strokes,
  other: Strokes,
  after: { readonly stroke: number; readonly event: EventName },
): Expected | null {
  const next = nextOf(own, after.stroke);
  const pattern = patternOf(own, other, after);
  if (pattern === null) {
    // The first stroke that is marked in full shows what the next one lacks.
    const itself = own.find(({ number }) => number === after.stroke);
    return after.event !== EVENTS.at(-1) || itself === undefined
      ? null
      : firstMissing(own, other, next, eventsOf(itself));
  }
  const rest = pattern.slice(pattern.indexOf(after.event) + 1);
  return firstMissing(own, other, after.stroke, rest) ?? firstMissing(own, other, next, pattern);
}

/** The first event of a hand, in order of strokes, that others have and it lacks; null where none can be told. */
export function expectedFirst(own: Strokes, other: Strokes): Expected | null {
  const fullest = [...own, ...other].toSorted((a, b) => eventsOf(b).length - eventsOf(a).length)[0];
  if (fullest === undefined) return null;
  for (const { number } of own) {
    const found = firstMissing(own, other, number, eventsOf(fullest));
    if (found !== null) return found;
  }
  return null;
}

/** The order of events of the stroke that is most like the one being marked and has that event itself. */
function patternOf(
  own: Strokes,
  other: Strokes,
  { stroke, event }: { readonly stroke: number; readonly event: EventName },
): readonly EventName[] | null {
  const has = (one: NumberedMarks) => timeOf(one, event) !== undefined && eventsOf(one).length > 1;
  const others = own.filter((one) => one.number !== stroke && has(one));
  const full = [...others, ...other.filter(has)].toSorted((a, b) => eventsOf(b).length - eventsOf(a).length);
  return full[0] === undefined ? null : eventsOf(full[0]);
}

function nextOf(own: Strokes, stroke: number): number {
  return own.find(({ number }) => number > stroke)?.number ?? stroke + 1;
}

function firstMissing(
  own: Strokes,
  other: Strokes,
  number: number,
  events: readonly EventName[],
): Expected | null {
  const stroke = own.find((one) => one.number === number) ?? { number, marks: {} };
  for (const event of events) {
    if (timeOf(stroke, event) !== undefined) continue;
    const timeS = fromOwnMarks(stroke, own, other, event) ?? fromCycle(stroke, own, other, event);
    if (timeS !== null) return { stroke: number, event, timeS };
  }
  return null;
}

/** As long after (or before) the nearest of its own marks as in the strokes around it. */
function fromOwnMarks(stroke: NumberedMarks, own: Strokes, other: Strokes, event: EventName): number | null {
  const others = own.filter(({ number }) => number !== stroke.number);
  const guesses = eventsOf(stroke).flatMap((anchor) => {
    const offset =
      offsetS(others, stroke.number, anchor, event) ?? offsetS(other, stroke.number, anchor, event);
    return offset === null ? [] : [{ offset, timeS: timeOf(stroke, anchor)! + offset }];
  });
  guesses.sort((a, b) => Math.abs(a.offset) - Math.abs(b.offset));
  return guesses[0]?.timeS ?? null;
}

/** Mean time from one event to another in the strokes nearest to a number; null where none has both. */
function offsetS(strokes: Strokes, near: number, from: EventName, to: EventName): number | null {
  const offsets = strokes
    .filter((one) => timeOf(one, from) !== undefined && timeOf(one, to) !== undefined)
    .toSorted((a, b) => Math.abs(a.number - near) - Math.abs(b.number - near))
    .slice(0, CYCLES)
    .map((one) => timeOf(one, to)! - timeOf(one, from)!);
  return offsets.length === 0 ? null : mean(offsets);
}

/** One cycle after the same event of the stroke before. */
function fromCycle({ number }: NumberedMarks, own: Strokes, other: Strokes, event: EventName): number | null {
  const before = own.findLast((one) => one.number < number && timeOf(one, event) !== undefined);
  const cycle = cycleS(own) ?? cycleS(other);
  return before === undefined || cycle === null
    ? null
    : timeOf(before, event)! + cycle * (number - before.number);
}

/** Mean of the latest cycles of a hand, between the same events of strokes; null below two strokes. */
function cycleS(strokes: Strokes): number | null {
  const cycles = strokes.flatMap((one, k) => {
    const before = strokes[k - 1];
    const shared = before === undefined ? undefined : eventsOf(one).find((event) => before.marks[event]);
    return shared === undefined
      ? []
      : [(timeOf(one, shared)! - timeOf(before!, shared)!) / (one.number - before!.number)];
  });
  return cycles.length === 0 ? null : mean(cycles.slice(-CYCLES));
}
