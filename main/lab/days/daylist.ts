/** The list of days: one that cannot be read is shown as such, and takes no other with it. */
import type { LabError } from '../../../core/base/refusal.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import { shownCheck } from '../../../core/trial/progress.ts';
import type { DaySummary } from '../../../core/contract/views.ts';
import type { DayRow } from '../../store/days.ts';
import { faultSaid } from '../kept/fault.ts';
import type { Session } from '../kept/session.ts';
import { trialOutcomes } from '../kept/outcome.ts';

export async function listDays(session: Session): Promise<Outcome<readonly DaySummary[], LabError>> {
  const summaries: DaySummary[] = [];
  const onDeck = new Set(session.store.deckDays().map(({ day }) => day));
  for (const row of session.store.listDays())
    summaries.push(await summaryOf(session, row, onDeck.has(row.id)));
  return done(summaries);
}

async function summaryOf(session: Session, row: DayRow, onDeck: boolean): Promise<DaySummary> {
  try {
    const computed = await trialOutcomes(session, row.id, () => undefined, 'known');
    if (!computed.ok) return unread(row, onDeck, computed.error);
    const { day, outcomes } = computed.value;
    const count = (verdict: string) =>
      outcomes.filter(({ result, progress }) => shownCheck(result.check, progress).verdict === verdict)
        .length;
    return {
      id: row.id,
      day: row.day,
      date: day.row.date,
      venue: day.row.venue,
      swimmers: day.book.roster.length,
      trials: outcomes.length,
      good: count('good'),
      look: count('look'),
      swimAgain: count('swim_again'),
      refused: day.book.refused.length + outcomes.reduce((sum, { refused }) => sum + refused.length, 0),
      openedAt: row.openedAt,
      onDeck: day.onDeck,
      damaged: outcomes.filter(({ evidence }) => evidence.length > 0).length,
      fault: null,
    };
  } catch (caught) {
    return unread(row, onDeck, faultSaid(session, caught));
  }
}

/** A day that cannot be read: what the list knows of it without reading it. */
function unread({ id, day, date, venue, openedAt }: DayRow, onDeck: boolean, fault: LabError): DaySummary {
  const none = { swimmers: 0, trials: 0, good: 0, look: 0, swimAgain: 0, refused: 0, damaged: 0 };
  return { id, day, date, venue, ...none, openedAt, onDeck, fault };
}
