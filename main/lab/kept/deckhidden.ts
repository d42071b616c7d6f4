/** What of a running day may not be named: swimmers who withdrew or do not consent, in whatever a person wrote. */
import { z } from 'zod';
import { namesAny, namesNobody, namesWithheld, type Names } from '../../../core/deck/veil.ts';
import { consentHolds } from '../../../core/day/tables.ts';
import type { DeckPlan } from '../../../core/deck/deck.ts';
import type { Decision } from '../../store/decisions.ts';
import { AREA, STATUSES } from './decided.ts';
import { deckStateOf } from './deckstate.ts';
import type { Session } from './session.ts';
import { keptDay } from './keptday.ts';

const withTrials = z.object({ trials: z.array(z.string()) });
const withSwimmers = z.object({ swimmers: z.array(z.object({ participant: z.string() })) });

/** Codes of any earlier plan of the day that no consenting swimmer has now: their history is not to be shown. */
export function formerCodes(
  { swimmers }: DeckPlan,
  history: readonly Pick<Decision, 'after'>[],
): readonly string[] {
  const consenting = new Set(
    swimmers.flatMap(({ participant, consents }) => (consentHolds(consents.measuring) ? [participant] : [])),
  );
  const codes = history.flatMap(({ after }) => {
    const plan = withSwimmers.safeParse(after);
    return plan.success ? plan.data.swimmers.map(({ participant }) => participant) : [];
  });
  return [...new Set(codes)].filter((code) => !consenting.has(code));
}

/** Tells of a text whether it names somebody hidden now; of a day that is not run here, none does. */
export function namesHidden(session: Session, day: number): Names {
  const state = deckStateOf(session, day);
  return state === null ? namesNobody : namesWithheld(state.plan, []);
}

/**
 * As {@link namesHidden}, for a day's history: of swimmers that earlier states of the day knew too. A day that was
 * opened from a folder no longer knows who withdrew: whoever and whatever trial was decided on and is gone is meant.
 */
export async function namesEverHidden(
  session: Session,
  id: number,
  history: readonly Decision[],
): Promise<Names> {
  const state = deckStateOf(session, id);
  if (state !== null) return namesWithheld(state.plan, formerCodes(state.plan, history));
  const day = await keptDay(session, id);
  if (!day.ok) return () => true;
  const { roster, trials } = day.value.own;
  const known = new Set<string>([
    ...roster.map(({ participant }) => participant),
    ...trials.map(({ row }) => row.trial),
  ]);
  const told = history.flatMap(({ trial, subject, key, after }) => [
    ...(trial === null ? [] : [trial]),
    ...(subject === STATUSES ? (withTrials.safeParse(after).data?.trials ?? []) : []),
    ...(subject === AREA ? [key.split(' ')[0]!] : []),
  ]);
  return namesAny(new Set(told.filter((code) => !known.has(code))));
}
