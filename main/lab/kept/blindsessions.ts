/**
 * Second opinions as the day's log holds them: a session with its rater, its seed and the trials in their drawn order,
 * the marks and judgements of each of its items, and whether the rater has said that it is done.
 */
import type { Opinion } from '../../../core/marking/overlay.ts';
import type { JudgementRow, MarkRow } from '../../../core/marking/words.ts';
import { BLIND_SHAPE } from '../shapes/blind.ts';
import { JUDGEMENTS_SHAPE, MARKS_SHAPE } from '../shapes/marking.ts';
import { readDecided } from './readdecided.ts';
import type { Decision } from '../../store/decisions.ts';
import type { Session } from './session.ts';

/** Subjects of a day's decisions. The key of a session is its number, that of an item both numbers with a space between. */
export const BLIND = 'blind.session';
export const BLIND_MARKS = 'blind.marks';
export const BLIND_JUDGEMENTS = 'blind.judgements';
export const BLIND_CLOSED = 'blind.closed';

/** What is kept of a session's start. */
export interface BlindStart {
  readonly rater: string;
  readonly seed: string;
  /** Codes of the trials in the order in which they are marked. */
  readonly trials: readonly string[];
}

export interface BlindItem {
  /** From 1. */
  readonly item: number;
  readonly trial: string;
  readonly marks: readonly MarkRow[];
  readonly judgements: readonly JudgementRow[];
}

export interface KeptBlindSession extends Omit<BlindStart, 'trials'> {
  readonly id: number;
  readonly day: number;
  readonly items: readonly BlindItem[];
  readonly closed: boolean;
}

export function itemKey(session: number, item: number): string {
  return `${session} ${item}`;
}

/** The sessions of a day, oldest first. */
export function sessionsOn({ store }: Session, day: number): readonly KeptBlindSession[] {
  const decisions = store.inForce(day);
  const of = (subject: string) => decisions.get(subject) ?? new Map<string, Decision>();
  const [marks, judgements, closed] = [of(BLIND_MARKS), of(BLIND_JUDGEMENTS), of(BLIND_CLOSED)];
  return [...of(BLIND)].map(([key, decision]) => {
    const { rater, seed, trials } = readDecided(BLIND_SHAPE, decision);
    const id = Number(key);
    const items = trials.map((trial, index): BlindItem => {
      const own = itemKey(id, index + 1);
      return {
        item: index + 1,
        trial,
        marks: readDecided(MARKS_SHAPE, marks.get(own), []),
        judgements: readDecided(JUDGEMENTS_SHAPE, judgements.get(own), []),
      };
    });
    return { id, day, rater, seed, items, closed: closed.has(key) };
  });
}

/** What the sessions that are done say of each trial. */
export function opinionsOn(session: Session, day: number): ReadonlyMap<string, readonly Opinion[]> {
  const opinions = new Map<string, Opinion[]>();
  for (const { rater, items } of sessionsOn(session, day).filter(({ closed }) => closed))
    for (const { trial, marks, judgements } of items)
      opinions.set(trial, [...(opinions.get(trial) ?? []), { rater, marks, judgements }]);
  return opinions;
}

/** The part of a path that stands for an item's trial and tells nothing of it; no trial's code holds a `~`. */
export function itemToken(session: number, item: number): string {
  return `blind~${session}~${item}`;
}

/** The session and item that a token stands for; null where it is none. */
export function readToken(token: string): { readonly session: number; readonly item: number } | null {
  const [, session, item] = /^blind~(\d{1,9})~(\d{1,9})$/.exec(token) ?? [];
  return session === undefined ? null : { session: Number(session), item: Number(item) };
}
