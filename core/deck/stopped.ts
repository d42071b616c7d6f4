/**
 * A swimmer who was stopped, as by pain: the trial ends at once, no repeat is proposed, and swimming on is decided by a
 * person who may judge it, never by the program (common practice, no source). Moments are ms since 1970-01-01T00:00Z.
 */
import { largest } from '../base/extent.ts';
import { done, type Outcome } from '../base/refusal.ts';
import { type ActContext, type ActResult, type Deck, type DeckFault, fault } from './act.ts';
import type { BoardTrial, DeckAct, DeckBoard } from './deck.ts';
import { swimmerOf } from './plan.ts';

/** The latest trial in which a swimmer was stopped; null where none was. */
export function latestStop(
  { trials }: Pick<DeckBoard, 'trials'>,
  participant: string,
): (BoardTrial & { readonly stopped: NonNullable<BoardTrial['stopped']> }) | null {
  const stops = trials.flatMap((swim) =>
    swim.participant === participant && swim.stopped !== null ? [{ ...swim, stopped: swim.stopped }] : [],
  );
  return stops.toSorted((a, b) => a.stopped.atMs - b.stopped.atMs).at(-1) ?? null;
}

/** Whether a swimmer swims no more today. */
export function restsToday({ resting }: Pick<DeckBoard, 'resting'>, participant: string): boolean {
  return resting.some((one) => one.participant === participant);
}

/** Why a swimmer may not begin unasked; null where they may. */
export function stopFault(
  board: DeckBoard,
  participant: string,
  clearedBy: string | null,
): { readonly ok: false; readonly error: DeckFault } | null {
  if (restsToday(board, participant))
    return fault(
      `${participant} has stopped for today.`,
      'Skip the trial; or, where the person who decides says so, let the swimmer return first.',
    );
  const stop = latestStop(board, participant);
  if (stop === null || clearedBy !== null) return null;
  return fault(
    `${participant} was stopped in ${stop.trial}: ${stop.stopped.says}.`,
    'Ask the swimmer, and have the person who decides give their initials; else skip the trial.',
  );
}

export type StopAct = Extract<DeckAct, { act: 'trial.stop' | 'trial.rest' | 'trial.return' }>;

/** The board after somebody was stopped, rests for the day, or returns; or why that cannot be. */
export function applyStop(deck: Deck, act: StopAct, context: ActContext): Outcome<ActResult, DeckFault> {
  const { board } = deck;
  const gives = (value: Partial<DeckBoard>, says: string, trial: string | null = null) =>
    done({ part: 'board' as const, value: { ...board, ...value }, says, trial });
  if (act.act === 'trial.stop') {
    const swim = board.trials.find(({ trial }) => trial === act.trial);
    if (swim?.state !== 'swimming' && swim?.state !== 'swum')
      return fault(
        `${act.trial} is not being swum and was not swum.`,
        'Skip the trial instead, with the reason.',
      );
    const { atMs } = context;
    const stopped: BoardTrial = {
      ...swim,
      state: 'swum',
      endedMs: swim.endedMs ?? atMs,
      stopped: { says: act.says, atMs },
    };
    const trials = board.trials.map((one) => (one === swim ? stopped : one));
    const says = `Stopped: ${act.says}`;
    return gives(
      { trials, notes: noted(board, swim, says, context) },
      `${swim.trial} stopped: ${act.says}`,
      swim.trial,
    );
  }
  const { participant } = act;
  if (swimmerOf(deck.plan, participant) === null)
    return fault(`There is no swimmer ${participant} on this day.`, 'Look at the list of swimmers.');
  const rests = restsToday(board, participant);
  if (act.act === 'trial.rest') {
    if (rests) return fault(`${participant} has stopped for today already.`, 'There is nothing more to do.');
    if (board.trials.some((swim) => swim.participant === participant && swim.state === 'swimming'))
      return fault(`${participant} is in the water.`, 'End or stop the trial first.');
    const { atMs, who } = context;
    const trials = board.trials.map((swim): BoardTrial =>
      swim.participant === participant && swim.state === 'planned'
        ? { ...swim, state: 'skipped', skippedWhy: `stopped for today: ${act.why}` }
        : swim,
    );
    const resting = [...board.resting, { participant, why: act.why, atMs, who }];
    return gives({ trials, resting }, `${participant} stops for today, the data stays: ${act.why}`);
  }
  if (!rests) return fault(`${participant} has not stopped for today.`, 'Look at the board as it is now.');
  const resting = board.resting.filter((one) => one.participant !== participant);
  return gives({ resting }, `${participant} swims on today, decided by ${act.clearedBy}`);
}

/** The day's notes with an incident of a trial's swimmer. */
function noted(
  { notes }: DeckBoard,
  { trial, participant }: BoardTrial,
  says: string,
  { atMs, who }: ActContext,
): DeckBoard['notes'] {
  const id = Math.max(0, largest(notes.map((one) => one.id))) + 1;
  return [...notes, { id, kind: 'incident', trial, participant, says, atMs, who }];
}
