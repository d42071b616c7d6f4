/** The trials of days as the cleaning grid shows them, and the lab's reasons for excluding one. */
import type { FindingsDay, FindingsDayName, FindingsTrial } from '../../../core/contract/cleaning.ts';
import type { Cell } from '../../../core/base/csv.ts';
import { done, type LabError, type Outcome } from '../../../core/base/refusal.ts';
import { trials as trialFields } from '../../../core/dataset/trialfields.ts';
import { decisionsOn, statusOf } from '../days/status.ts';
import { namesHidden } from '../kept/deckhidden.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';
import { trialOutcomes } from '../kept/outcome.ts';
import { REASONS_SHAPE } from '../shapes/settings.ts';
import { readText } from '../shapes/shape.ts';

/** The days there are, newest first, none of them read. */
export function findingsDays({ store }: Session): Outcome<readonly FindingsDayName[], LabError> {
  return done(store.listDays().map(({ id, day, date, venue }) => ({ id, day, date, venue })));
}

/** All trials of a day: kept results, computed only where something they came from has changed. */
export async function findingsDay(session: Session, id: number): Promise<Outcome<FindingsDay, LabError>> {
  const computed = await trialOutcomes(session, id, () => undefined, 'known');
  if (!computed.ok) return computed;
  const { day, outcomes } = computed.value;
  const { book, row } = day;
  const [decisions, names] = [decisionsOn(session, id), namesHidden(session, id)];
  const trials = book.trials.map((entry, index): FindingsTrial => {
    const decided = decisions.get(entry.row.trial);
    const { status, reason } = statusOf(entry, decided, names);
    const line = {
      entry: { ...entry, row: { ...entry.row, status, exclusion_reason: reason } },
      result: outcomes[index]!.result,
      day: book.day,
    };
    const beside: readonly Cell[] = [row.day, row.date, entry.participant.sex];
    return {
      day: id,
      trial: entry.row.trial,
      participant: entry.participant.participant,
      status,
      decided: decided === undefined ? null : { who: decided.who, at: decided.at },
      cells: [...beside, ...trialFields.map(({ of }) => of(line))],
    };
  });
  return done({
    id,
    day: row.day,
    swimmers: book.roster.map(({ participant }) => participant),
    attempts: book.day.protocol.attempts,
    trials,
    leftOut: book.leftOut,
  });
}

const REASONS = 'exclusion.reasons';

/** Offered until a lab writes its own. */
const COMMON_REASONS: readonly string[] = [
  'The swimmer stopped',
  'The start was not clean',
  'The lane rope was touched',
  'A sensor came loose',
];

/** The lab's own reasons for excluding a trial. */
export function listReasons({ store }: Session): readonly string[] {
  const saved = store.getSetting(REASONS);
  return saved === null ? COMMON_REASONS : readText(REASONS_SHAPE, saved.text, `setting ${REASONS}`);
}

/** Keeps the list; a reason that stands in it twice is kept once. */
export function saveReasons(
  session: Session,
  reasons: readonly string[],
): Outcome<readonly string[], LabError> {
  const text = JSON.stringify([...new Set(reasons)]);
  const saved = session.store.setSetting(REASONS, text, operatorOf(session), now());
  return saved.ok ? done(listReasons(session)) : storeFault(saved.error);
}
