/** One decision of a person, kept as one step of a day's log or of the lab's. */
import { done, type LabError, type Outcome } from '../../../core/base/refusal.ts';
import { now, operatorOf, storeFault, type Session } from './session.ts';

/** Names one value of a day, or of the lab (`day` null). */
interface Decided {
  readonly day: number | null;
  readonly subject: string;
  readonly key: string;
}

interface Deciding extends Decided {
  /** The trial it concerns; null where it concerns no single one. */
  readonly trial: string | null;
  readonly after: unknown;
  readonly says: string;
  /** What the person saw in force; left out where that is what is in force now. */
  readonly before?: unknown;
  /** ISO 8601 instant; left out for now. */
  readonly at?: string;
}

/** The value in force; null where none was ever decided, or where it was taken back. */
export function standing({ store }: Session, { day, subject, key }: Decided): unknown {
  return store.inForce(day).get(subject)?.get(key)?.after ?? null;
}

/** Keeps a decision. Fails with `changed_meanwhile` where another value is in force than the one seen. */
export function decide(session: Session, deciding: Deciding): Outcome<null, LabError> {
  const { day, trial, subject, key, after, says } = deciding;
  const before = 'before' in deciding ? deciding.before : standing(session, deciding);
  const who = operatorOf(session);
  const at = deciding.at ?? now();
  const kept = session.store.decide({ day, trial, subject, key, before, after, says, who, at });
  return kept.ok ? done(null) : storeFault(kept.error);
}
