/** How a day's trials are shared out for marking, as its log holds it. */
import { toCode } from '../../../core/marking/overlay.ts';
import { QUEUE_SHAPE, type KeptQueue } from '../shapes/queue.ts';
import { readDecided } from './readdecided.ts';
import { operatorOf, type Session } from './session.ts';

/** Subject and key of the decision. */
export const QUEUE = 'marking.queue';

/** Null where nothing was shared out. */
export function queueOn({ store }: Session, day: number): KeptQueue | null {
  return readDecided(QUEUE_SHAPE, store.inForce(day).get(QUEUE)?.get(QUEUE), null);
}

/** The code under which the person at work marks. */
export function operatorCode(session: Session): string {
  return toCode(operatorOf(session), 'operator');
}

/**
 * The next trial to mark for the person at work: of their own in the drawn order, else of the day's, from the one after
 * `trial` round to it.
 * @param trials codes in the day's order, with whether each has a mark
 */
export function nextToMark(
  session: Session,
  day: number,
  trials: readonly { readonly trial: string; readonly isMarked: boolean }[],
  trial: string | null,
): string | null {
  const unmarked = new Set(trials.filter(({ isMarked }) => !isMarked).map((one) => one.trial));
  const after = (codes: readonly string[]) => {
    const at = trial === null ? -1 : codes.indexOf(trial);
    const round = [...codes.slice(at + 1), ...codes.slice(0, Math.max(0, at))];
    return round.find((code) => unmarked.has(code)) ?? null;
  };
  const own = (queueOn(session, day)?.trials ?? []).filter(({ rater }) => rater === operatorCode(session));
  return after(own.map((one) => one.trial)) ?? after(trials.map((one) => one.trial));
}
