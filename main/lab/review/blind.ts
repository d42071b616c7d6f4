/** Second opinions: a rater marks trials anew, in a drawn order, without names, groups or first marks. */
import { largest } from '../../../core/base/extent.ts';
import { blindOrder } from '../../../core/base/drawnorder.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { judgementFault } from '../../../core/marking/rules.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import type { BlindSession, BlindTrial } from '../../../core/contract/review.ts';
import type { JudgementRow, MarkRow } from '../../../core/marking/words.ts';
import {
  BLIND,
  BLIND_CLOSED,
  BLIND_JUDGEMENTS,
  BLIND_MARKS,
  itemKey,
  sessionsOn,
  type BlindItem,
  type KeptBlindSession,
  type BlindStart,
} from '../kept/blindsessions.ts';
import { blindEntry, blindView, type Place } from './blindview.ts';
import { orderAndShape, sameWords } from './markedits.ts';
import { decide, standing } from '../kept/decide.ts';
import type { Session } from '../kept/session.ts';
import { findTrial, keptDay, type KeptDay } from '../kept/keptday.ts';
import { computeTrial } from '../kept/outcome.ts';

export async function listBlind(
  session: Session,
  id: number,
): Promise<Outcome<readonly BlindSession[], LabError>> {
  const day = await keptDay(session, id);
  return day.ok ? done(sessionsOn(session, id).map((record) => toView(day.value, record))) : day;
}

/** Trials whose swimmer has withdrawn since are not among the items. */
function toView({ book }: KeptDay, { id, rater, seed, items, closed }: KeptBlindSession): BlindSession {
  const labels = labelsOf(items, seed);
  const there = new Set<string>(book.trials.map(({ row }) => row.trial));
  return {
    id,
    rater,
    seed,
    items: items
      .filter(({ trial }) => there.has(trial))
      .map(({ item, marks }) => ({ item, label: labels[item - 1]!, marks: marks.length })),
    closed,
  };
}

function labelsOf(items: readonly BlindItem[], seed: string): readonly string[] {
  return blindOrder(
    items.map(({ trial }) => trial),
    seed,
  ).map(({ label }) => label);
}

export async function startBlind(
  session: Session,
  wish: {
    readonly day: number;
    readonly rater: string;
    readonly seed: string;
    readonly trials: readonly string[];
  },
): Promise<Outcome<BlindSession, LabError>> {
  const { rater, seed } = wish;
  const day = await keptDay(session, wish.day);
  if (!day.ok) return day;
  const trials = [...new Set(wish.trials)];
  for (const trial of trials) {
    const found = findTrial(day.value, trial);
    if (!found.ok) return found;
    const { events, judgements } = found.value;
    const begun = sessionsOn(session, wish.day).some(
      (other) => other.rater === rater && other.items.some((item) => item.trial === trial),
    );
    if (begun || [...events, ...judgements].some(({ value }) => value.rater === rater))
      return failed({
        code: 'bad_input',
        says: `${rater} has marked trial ${trial} before.`,
        todo: `Take another code for the second opinion, such as ${rater}-2, or leave that trial out.`,
      });
  }
  const { store } = session;
  const id = 1 + Math.max(0, largest([...store.daysByKey(BLIND).keys()].map(Number)));
  const start: BlindStart = { rater, seed, trials: blindOrder(trials, seed).map(({ item }) => item) };
  const says = `Second opinion by ${rater} begun: ${trials.length} trials in an order drawn from “${seed}”`;
  const decided = decide(session, {
    day: wish.day,
    trial: null,
    subject: BLIND,
    key: String(id),
    after: start,
    says,
  });
  return decided.ok ? sessionView(session, id) : decided;
}

/** The rater says that it is done: from now on the session counts as a second opinion. */
export async function closeBlind(session: Session, id: number): Promise<Outcome<BlindSession, LabError>> {
  const found = findSession(session, id);
  if (!found.ok) return found;
  const { day, rater, closed } = found.value;
  if (closed) return sessionView(session, id);
  const decided = decide(session, {
    day,
    trial: null,
    subject: BLIND_CLOSED,
    key: String(id),
    after: true,
    says: `Second opinion by ${rater} done`,
  });
  return decided.ok ? sessionView(session, id) : decided;
}

async function sessionView(session: Session, id: number): Promise<Outcome<BlindSession, LabError>> {
  const found = findSession(session, id);
  if (!found.ok) return found;
  const day = await keptDay(session, found.value.day);
  return day.ok ? done(toView(day.value, found.value)) : day;
}

export async function getBlind(
  session: Session,
  id: number,
  item: number,
): Promise<Outcome<BlindTrial, LabError>> {
  const found = await findItem(session, id, item);
  return found.ok ? done(await blindView(session, found.value)) : found;
}

interface BlindEdit<T> {
  readonly session: number;
  readonly item: number;
  readonly seen: T;
  readonly now: T;
  readonly says: string;
}

export function editBlindMarks(
  session: Session,
  wish: BlindEdit<readonly MarkRow[]>,
): Promise<Outcome<BlindTrial, LabError>> {
  return edit(
    session,
    wish,
    BLIND_MARKS,
    ({ own }) => own.marks,
    async (place) => {
      const entry = blindEntry(place);
      const computed = await computeTrial(session, place.day, entry);
      return orderAndShape(place.day, entry, computed, place.own.marks, wish.now);
    },
  );
}

export function editBlindJudgements(
  session: Session,
  wish: BlindEdit<readonly JudgementRow[]>,
): Promise<Outcome<BlindTrial, LabError>> {
  return edit(
    session,
    wish,
    BLIND_JUDGEMENTS,
    ({ own }) => own.judgements,
    () => Promise.resolve(judgementFault(wish.now)),
  );
}

async function edit<T>(
  session: Session,
  wish: BlindEdit<T>,
  subject: string,
  shown: (place: Place) => T,
  faultOf: (place: Place) => Promise<string | null>,
): Promise<Outcome<BlindTrial, LabError>> {
  const found = await findItem(session, wish.session, wish.item);
  if (!found.ok) return found;
  const place = found.value;
  const { record, own } = place;
  if (!sameWords(shown(place), wish.seen))
    return failed({
      code: 'changed_meanwhile',
      says: 'Another window has changed these marks in the meantime.',
      todo: 'Look at what stands there now, then do it again.',
    });
  if (sameWords(wish.seen, wish.now)) return done(await blindView(session, place));
  if (record.closed)
    return failed({
      code: 'bad_input',
      says: 'This second opinion is done and is not changed any more.',
      todo: 'Take back that it is done first, or begin another.',
    });
  const key = itemKey(record.id, own.item);
  // Taken before anything is waited for, so that what another window keeps meanwhile is noticed.
  const before = standing(session, { day: record.day, subject, key });
  const fault = await faultOf(place);
  if (fault !== null)
    return failed({ code: 'bad_input', says: fault, todo: 'Nothing was changed; correct it and try again.' });
  const says = `Second opinion ${record.id}, ${labelsOf(record.items, record.seed)[own.item - 1]}: ${wish.says}`;
  // The trial is not named in the log: who reads it there must not learn which item it is.
  const value = { day: record.day, trial: null, subject, key };
  const decided = decide(session, { ...value, before, after: wish.now, says });
  return decided.ok ? getBlind(session, wish.session, wish.item) : decided;
}

function findSession(session: Session, id: number): Outcome<KeptBlindSession, LabError> {
  const day = session.store.daysByKey(BLIND).get(String(id));
  const record = day === undefined ? undefined : sessionsOn(session, day).find((own) => own.id === id);
  if (record !== undefined) return done(record);
  return failed({
    code: 'not_found',
    says: `There is no second opinion ${id}, or its start was taken back.`,
    todo: 'Go back to the day and choose one of its second opinions.',
  });
}

export async function findItem(
  session: Session,
  id: number,
  item: number,
): Promise<Outcome<Place, LabError>> {
  const found = findSession(session, id);
  if (!found.ok) return found;
  const day = await keptDay(session, found.value.day);
  if (!day.ok) return day;
  const own = found.value.items.find((one) => one.item === item);
  if (own !== undefined && day.value.book.trials.some(({ row }) => row.trial === own.trial))
    return done({ day: day.value, record: found.value, own });
  return failed({
    code: 'not_found',
    says: `Second opinion ${id} has no item ${item}, or it may not be marked any more.`,
    todo: 'Choose another of its items.',
  });
}
