/** Marks, judgements, clock pairs and section times of a trial, as a screen edits them: each edit is one decision. */
import type { LabError } from '../../../core/base/refusal.ts';
import type { TrialEntry } from '../../../core/day/book.ts';
import type { TrialClocks } from '../../../core/marking/marking.ts';
import { newOrderFault } from '../../../core/marking/faults.ts';
import { eventRows, freeCode, toCode, type Rater } from '../../../core/marking/overlay.ts';
import { judgementFault, markFault, pairFault, sectionFault } from '../../../core/marking/rules.ts';
import { failed, type Outcome } from '../../../core/base/refusal.ts';
import type {
  JudgementRow,
  MarkRow,
  PairRow,
  SectionWord,
  TrialMarking,
} from '../../../core/marking/words.ts';
import type { TrialView } from '../../../core/contract/views.ts';
import { sessionsOn } from '../kept/blindsessions.ts';
import { viewTrial } from '../days/dayview.ts';
import {
  JUDGEMENTS,
  MARKS,
  PAIRS,
  raterKey,
  REPORTED,
  SECTION,
  type ReportedDecision,
  type SectionDecision,
} from '../kept/markdecisions.ts';
import { markingOf } from '../kept/marks.ts';
import { decide, standing } from '../kept/decide.ts';
import { operatorOf, type Session } from '../kept/session.ts';
import { findTrial, keptDay, type KeptDay } from '../kept/keptday.ts';
import { trialOutcome, type TrialOutcome } from '../kept/outcome.ts';

interface Edit<T> {
  readonly day: number;
  readonly trial: string;
  readonly seen: T;
  readonly now: T;
  readonly says: string;
}

type Answer = Promise<Outcome<TrialView, LabError>>;

/** One kind of edit: which value it is of, what forbids it, and under which name it is kept. */
interface Kind<T> {
  readonly standing: (marking: TrialMarking) => T;
  readonly fault: (place: Place, now: T) => string | null | Promise<string | null>;
  readonly subject: string;
  readonly key: (session: Session, place: Place) => string;
  /** The value as it is kept. */
  readonly keep: (now: T) => unknown;
}

interface Place {
  readonly session: Session;
  readonly day: KeptDay;
  readonly entry: TrialEntry;
}

export function editMarks(session: Session, wish: Edit<readonly MarkRow[]>): Answer {
  return carryOut(session, wish, {
    standing: ({ marks }) => marks,
    fault: marksFault,
    subject: MARKS,
    key: (_, { day, entry }) => raterKey(entry.row.trial, markingRater(session, day, entry)),
    keep: (marks) => marks,
  });
}

export function editJudgements(session: Session, wish: Edit<readonly JudgementRow[]>): Answer {
  return carryOut(session, wish, {
    standing: ({ judgements }) => judgements,
    fault: ({ entry }, judgements) =>
      judgementFault(judgements) ?? lastOne(entry.judgements, judgements.length, 'judgements'),
    subject: JUDGEMENTS,
    key: (_, { day, entry }) => {
      const judged = entry.judgements[0];
      const rater = judged === undefined ? markingRater(session, day, entry) : judged.value.rater;
      return raterKey(entry.row.trial, rater);
    },
    keep: (judgements) => judgements,
  });
}

export function editPairs(session: Session, wish: Edit<readonly PairRow[]>): Answer {
  return carryOut(session, wish, {
    standing: ({ pairs }) => pairs,
    fault: (_, pairs) => pairFault(pairs),
    subject: PAIRS,
    key: () => wish.trial,
    keep: (pairs) => pairs,
  });
}

export function editSection(session: Session, wish: Edit<SectionWord | null>): Answer {
  return carryOut(session, wish, {
    standing: ({ section }) => section,
    fault: (_, section) => sectionFault(section),
    subject: SECTION,
    key: () => wish.trial,
    keep: (section): SectionDecision => ({ section }),
  });
}

/** Chooses, for a reason, the rater whose marks are reported; both originals stay. */
export function adjudicate(
  session: Session,
  wish: {
    readonly day: number;
    readonly trial: string;
    readonly rater: Rater;
    readonly seen: Rater;
    readonly reason: string;
  },
): Answer {
  const { rater, trial, reason } = wish;
  const who = rater ?? 'the rater without a code';
  return carryOut<Rater>(
    session,
    { ...wish, now: rater, says: `Trial ${trial}: the marks of ${who} are reported: ${reason}` },
    {
      standing: (marking) => marking.rater,
      fault: ({ entry }) =>
        markingOf(entry).raters.includes(rater) ? null : `Trial ${trial} has no marks of ${who}.`,
      subject: REPORTED,
      key: () => trial,
      keep: (chosen): ReportedDecision => ({ rater: chosen, reason }),
    },
  );
}

async function carryOut<T>(session: Session, wish: Edit<T>, kind: Kind<T>): Answer {
  const day = await keptDay(session, wish.day);
  if (!day.ok) return day;
  const found = findTrial(day.value, wish.trial);
  if (!found.ok) return found;
  const place: Place = { session, day: day.value, entry: found.value };
  if (!sameWords(kind.standing(markingOf(found.value)), wish.seen))
    return failed({
      code: 'changed_meanwhile',
      says: `Another window has changed trial ${wish.trial} in the meantime.`,
      todo: 'Look at what stands there now, then do it again.',
    });
  if (sameWords(wish.seen, wish.now)) return viewTrial(session, wish.day, wish.trial);
  const key = kind.key(session, place);
  // Taken before anything is waited for, so that what another window keeps meanwhile is noticed.
  const before = standing(session, { day: wish.day, subject: kind.subject, key });
  const fault = await kind.fault(place, wish.now);
  if (fault !== null)
    return failed({ code: 'bad_input', says: fault, todo: 'Nothing was changed; correct it and try again.' });
  const kept = decide(session, {
    day: wish.day,
    trial: wish.trial,
    subject: kind.subject,
    key,
    before,
    after: kind.keep(wish.now),
    says: wish.says,
  });
  return kept.ok ? viewTrial(session, wish.day, wish.trial) : kept;
}

/** True where two values are the same once they have crossed to a screen and back. */
export function sameWords(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

/** Who the marks of a trial are edited as: the reported rater, else the person at work. */
function markingRater(session: Session, day: KeptDay, entry: TrialEntry): Rater {
  const reported = entry.events[0];
  if (reported !== undefined) return reported.value.rater;
  const { trial } = entry.row;
  const blind = sessionsOn(session, day.row.id).filter(({ items }) =>
    items.some((item) => item.trial === trial),
  );
  return freeCode(toCode(operatorOf(session), 'operator'), new Set(blind.map(({ rater }) => rater)));
}

async function marksFault({ session, day, entry }: Place, marks: readonly MarkRow[]): Promise<string | null> {
  const outcome = await trialOutcome(session, day, entry);
  const { marks: before } = markingOf(entry);
  return orderAndShape(day, entry, outcome, before, marks) ?? lastOne(entry.events, marks.length, 'marks');
}

/** Why marks cannot be kept beside those before them: their shape, or the order rules. */
export function orderAndShape(
  { book }: KeptDay,
  entry: TrialEntry,
  { trace, films }: Pick<TrialOutcome, 'trace' | 'films'>,
  before: readonly MarkRow[],
  marks: readonly MarkRow[],
): string | null {
  const cameras = new Set([...entry.films.keys(), ...book.day.cameras.map(({ camera }) => camera)]);
  const shape = markFault(marks, cameras);
  if (shape !== null) return shape;
  const clocks: TrialClocks = {
    sampleStepS: trace === null ? null : 1 / trace.rateHz,
    frameStepS: new Map(
      films.flatMap(({ camera, frameIntervalS }) =>
        frameIntervalS === null ? [] : [[camera, frameIntervalS] as const],
      ),
    ),
    pairs: entry.pairs,
    markingUS: book.day.protocol.markingUS,
  };
  const rows = (list: readonly MarkRow[]) => eventRows(entry.row.trial, null, list).map(({ value }) => value);
  const fault = newOrderFault(rows(before), rows(marks), clocks);
  return fault === null ? null : `${fault}.`;
}

/** Taking away the last row of the reported rater would report another's in its place without a word. */
function lastOne(
  rows: readonly { readonly value: { readonly rater: Rater } }[],
  left: number,
  what: string,
): string | null {
  const [first] = rows;
  const other = rows.find(({ value }) => value.rater !== first?.value.rater);
  if (left > 0 || first === undefined || other === undefined) return null;
  const named = (rater: Rater) => rater ?? 'the rater without a code';
  return `Without any ${what} of ${named(first.value.rater)}, those of ${named(other.value.rater)} would be reported; choose that rater as the reported one instead.`;
}
