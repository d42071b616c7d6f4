/** Acts on one or many trials, of one day or several: decided, taken back and done again as one. */
import type { CleaningAct, TrialSeen } from '../../../core/contract/cleaning.ts';
import type { TrialStatus } from '../../../core/contract/views.ts';
import { counted } from '../../../core/base/words.ts';
import { done, failed, type LabError, type Outcome } from '../../../core/base/refusal.ts';
import { namesNobody, veiled, type Names } from '../../../core/deck/veil.ts';
import { grouped } from '../../../core/findings/study.ts';
import type { Decision } from '../../store/decisions.ts';
import { decisionsOn, statusOf } from '../days/status.ts';
import { STATUSES } from '../kept/decided.ts';
import { namesEverHidden, namesHidden } from '../kept/deckhidden.ts';
import { readDecided } from '../kept/readdecided.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';
import { findTrial, keptDay } from '../kept/keptday.ts';
import { STATUSES_SHAPE } from '../shapes/day.ts';

/** What a person wants decided. */
interface Wish {
  readonly trials: readonly TrialSeen[];
  readonly status: TrialStatus;
  readonly reason: string;
}

/** At most so many trials are named in a sentence. */
const MOST_NAMED = 3;

/** Decides on trials, all of them or none. */
export async function decideTrials(session: Session, wish: Wish): Promise<Outcome<CleaningAct, LabError>> {
  if (wish.status === 'excluded' && wish.reason === '')
    return failed({
      code: 'bad_input',
      says: 'An excluded trial needs a reason.',
      todo: 'Choose one of the lab’s reasons, or write why, in a few words.',
    });
  const days = [...grouped(wish.trials, ({ day }) => String(day)).values()];
  for (const trials of days) {
    const fault = await faultOn(session, trials);
    if (fault !== null) return failed(fault);
  }
  const act = lastAct(session) + 1;
  const [who, at] = [operatorOf(session), now()];
  const kept = session.store.decideAll(
    days.map((trials) => ({
      day: trials[0]!.day,
      trial: null,
      subject: STATUSES,
      key: String(act),
      before: null,
      after: {
        trials: trials.map(({ trial }) => trial),
        status: wish.status,
        reason: wish.status === 'excluded' ? wish.reason : null,
      },
      says: sentenceOf(
        trials.map(({ trial }) => trial),
        wish,
      ),
      who,
      at,
    })),
  );
  return kept.ok ? actNumbered(session, act) : storeFault(kept.error);
}

async function faultOn(session: Session, trials: readonly TrialSeen[]): Promise<LabError | null> {
  const [{ day: id }] = trials as [TrialSeen];
  const day = await keptDay(session, id);
  if (!day.ok) return day.error;
  const [decisions, names] = [decisionsOn(session, id), namesHidden(session, id)];
  for (const { trial, seen } of trials) {
    const found = findTrial(day.value, trial);
    if (!found.ok) return found.error;
    if (statusOf(found.value, decisions.get(trial), names).status === seen) continue;
    return {
      code: 'changed_meanwhile',
      says: `Another window has decided on trial ${trial} of ${day.value.row.day} in the meantime; nothing was decided.`,
      todo: 'Look at what stands there now, then decide again.',
    };
  }
  return null;
}

function sentenceOf(trials: readonly string[], { status, reason }: Wish): string {
  const named = trials.slice(0, MOST_NAMED).join(', ');
  const more = trials.length > MOST_NAMED ? ` and ${trials.length - MOST_NAMED} more` : '';
  const which = `${trials.length === 1 ? 'Trial' : 'Trials'} ${named}${more}`;
  if (status === 'recorded') return `${which} back to recorded`;
  return status === 'accepted' ? `${which} accepted` : `${which} excluded: ${reason}`;
}

/** The number of the latest act that was ever made. */
function lastAct({ store }: Session): number {
  return [...store.daysByKey(STATUSES).keys()].reduce((last, key) => Math.max(last, Number(key)), 0);
}

interface DayPart {
  readonly day: number;
  readonly decision: Decision;
}

/** Every act, latest first, with its part on each day. */
function allActs({ store }: Session): readonly (readonly [number, readonly DayPart[]])[] {
  const parts = store
    .daysWith(STATUSES)
    .flatMap((day) =>
      store.history(day).flatMap((decision) => (decision.subject === STATUSES ? [{ day, decision }] : [])),
    );
  return [...grouped(parts, ({ decision }) => decision.key)]
    .map(([key, own]) => [Number(key), own] as const)
    .sort(([a], [b]) => b - a);
}

/** Every act on trials, latest first. */
export async function listActs(session: Session): Promise<Outcome<readonly CleaningAct[], LabError>> {
  const acts: CleaningAct[] = [];
  const namesOn = new Map<number, Names>();
  for (const [act, parts] of allActs(session)) acts.push(await told(session, act, parts, namesOn));
  return done(acts);
}

/** @param namesOn who is hidden on each day, as far as it was asked for */
async function told(
  session: Session,
  act: number,
  parts: readonly DayPart[],
  namesOn = new Map<number, Names>(),
): Promise<CleaningAct> {
  const [first] = parts as [DayPart];
  const { who, at } = first.decision;
  const days = parts.map(({ day }) => day);
  const common = { act, who, at, days, undone: parts.every(({ decision }) => decision.undone !== null) };
  for (const { day, decision } of parts) {
    const names = namesOn.get(day) ?? (await namesEverHidden(session, day, session.store.history(day)));
    namesOn.set(day, names);
    if (names(decision.says))
      return { ...common, says: veiled(namesNobody, 'A decision about a swimmer whose data is hidden') };
  }
  if (parts.length === 1) return { ...common, says: veiled(namesNobody, first.decision.says) };
  const words = parts.map(({ decision }) => readDecided(STATUSES_SHAPE, decision));
  const trials = words.reduce((sum, own) => sum + own.trials.length, 0);
  const { status, reason } = words[0]!;
  const what = `${counted(trials, 'trial')} of ${counted(parts.length, 'day')} ${status === 'recorded' ? 'back to recorded' : status}`;
  return { ...common, says: veiled(namesNobody, reason === null ? what : `${what}: ${reason}`) };
}

async function actNumbered(session: Session, act: number): Promise<Outcome<CleaningAct, LabError>> {
  const parts = allActs(session).find(([number]) => number === act)?.[1];
  if (parts === undefined)
    return failed({
      code: 'not_found',
      says: `There is no act ${act} on trials.`,
      todo: 'Look at the list of what was decided.',
    });
  return done(await told(session, act, parts));
}

/** Takes back, or does again, a whole act. */
export async function turnAct(
  session: Session,
  act: number,
  way: 'undo' | 'redo',
): Promise<Outcome<CleaningAct, LabError>> {
  const { store } = session;
  const parts = allActs(session).find(([number]) => number === act)?.[1];
  if (parts === undefined) return actNumbered(session, act);
  const blocked = parts.filter(({ day, decision }) => store.nextTurn(day, way) !== decision.id);
  if (blocked.length > 0) {
    const names = blocked.map(({ day }) => store.getDay(day)?.day ?? String(day)).slice(0, MOST_NAMED);
    return failed({
      code: 'changed_meanwhile',
      says: `This was not ${way === 'undo' ? 'taken back' : 'done again'}: something else was decided since on ${names.join(', ')}${blocked.length > MOST_NAMED ? ` and ${blocked.length - MOST_NAMED} more` : ''}.`,
      todo: 'Take that back first, on the screen of the day, or decide on these trials anew.',
    });
  }
  const turns = parts.map(({ day, decision }) => ({ day, decision: decision.id }));
  const turned = store.turnAll(turns, way, operatorOf(session), now());
  return turned.ok ? actNumbered(session, act) : storeFault(turned.error);
}
