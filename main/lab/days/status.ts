/** The status of trials: what people decided on one trial, or on several at once, and what trials.csv says. */
import type { Shown } from '../../../core/base/shown.ts';
import type { TrialStatus } from '../../../core/contract/views.ts';
import type { TrialEntry } from '../../../core/day/book.ts';
import { veiled, type Names } from '../../../core/deck/veil.ts';
import { STATUS, STATUSES } from '../kept/decided.ts';
import { readDecided } from '../kept/readdecided.ts';
import type { Session } from '../kept/session.ts';
import { STATUS_SHAPE, STATUSES_SHAPE } from '../shapes/day.ts';

/** A decision on a trial, alone or with others. */
export interface StatusWords {
  /** Id of the decision. */
  readonly id: number;
  readonly status: TrialStatus;
  readonly reason: string | null;
  readonly who: string;
  /** ISO 8601 instant. */
  readonly at: string;
}

/** As it may be shown. */
interface StatusDecision {
  readonly status: TrialStatus;
  readonly reason: Shown<string> | null;
}

/**
 * A trial's status: the latest decision of a person, where there is one, else what trials.csv says. A reason that names
 * somebody hidden is not told.
 */
export function statusOf(entry: TrialEntry, decided: StatusWords | undefined, names: Names): StatusDecision {
  const { status, reason } = decided ?? { status: entry.row.status, reason: entry.row.exclusion_reason };
  return { status, reason: reason === null ? null : veiled(names, reason) };
}

/** The latest decision on each trial of a day, by trial. */
export function decisionsOn({ store }: Session, day: number): ReadonlyMap<string, StatusWords> {
  const inForce = store.inForce(day);
  const latest = new Map<string, StatusWords>();
  const take = (trial: string, words: StatusWords) => {
    if ((latest.get(trial)?.id ?? 0) < words.id) latest.set(trial, words);
  };
  for (const [trial, decision] of inForce.get(STATUS) ?? []) {
    const value = readDecided(STATUS_SHAPE, decision, null);
    const { id, who, at } = decision;
    if (value !== null) take(trial, { id, who, at, ...value });
  }
  for (const decision of inForce.get(STATUSES)?.values() ?? []) {
    const { trials, ...value } = readDecided(STATUSES_SHAPE, decision);
    const { id, who, at } = decision;
    for (const trial of trials) take(trial, { id, who, at, ...value });
  }
  return latest;
}
