/**
 * The board's one question answered without a screen: what is the one thing to do now, who still rests, what has not
 * arrived, where a trial may go, what a note is about. Moments are milliseconds since 1970-01-01T00:00Z.
 */
import type { BoardTrial, DeckSwimmer } from '../../../core/deck/deck.ts';
import type { DeckTrialView, FileView, ReadyItem } from '../../../core/deck/views.ts';
import type { DeckView } from '../../../core/contract/deck.ts';
import { clockText } from './boardwords.ts';

/** A rest that is not over. */
export interface Rest {
  readonly restedMs: number;
  readonly wholeMs: number;
  readonly leftMs: number;
}

/** The one thing to do now. */
export type Primary =
  | { readonly kind: 'end'; readonly swim: BoardTrial }
  | { readonly kind: 'answer'; readonly swim: BoardTrial }
  | { readonly kind: 'look'; readonly swim: BoardTrial }
  | { readonly kind: 'prepare'; readonly missing: readonly ReadyItem[] }
  | { readonly kind: 'begin'; readonly swim: BoardTrial }
  | { readonly kind: 'finished' | 'closed' };

export function boardTrialOf(view: DeckView, trial: string | null): BoardTrial | null {
  return view.board.trials.find((swim) => swim.trial === trial) ?? null;
}

export function trialOf(view: DeckView, trial: string): DeckTrialView | null {
  return view.trials.find((one) => one.trial === trial) ?? null;
}

export function swimmerOf(view: DeckView, participant: string): DeckSwimmer | null {
  return view.plan.swimmers.find((swimmer) => swimmer.participant === participant) ?? null;
}

/** How far a swimmer's rest is; null where it is over, or was never needed. */
export function restOf(view: DeckView, participant: string, nowMs: number): Rest | null {
  const leftMs = (view.restUntilMs[participant] ?? 0) - nowMs;
  if (leftMs <= 0) return null;
  const wholeMs = 1000 * view.protocol.content.restMinS;
  return { restedMs: Math.max(0, wholeMs - leftMs), wholeMs, leftMs };
}

/** A rest in words, such as `rested 1:20 of 3:00, 1:40 to go`. */
export function restWords({ restedMs, wholeMs, leftMs }: Rest): string {
  // Rounded up together, so that the two parts make the whole.
  const toGoMs = 1000 * Math.ceil(leftMs / 1000);
  const rested = Math.min(restedMs, Math.max(0, wholeMs - toGoMs));
  return `rested ${clockText(rested)} of ${clockText(wholeMs)}, ${clockText(toGoMs)} to go`;
}

function isUnanswered(swim: BoardTrial): boolean {
  return swim.state === 'swum' && swim.answer === null;
}

function hasTrace(view: DeckView, swim: BoardTrial): boolean {
  return trialOf(view, swim.trial)?.trace != null;
}

/** Trials that were swum and wait for a person's answer, in the order of the board. */
export function unanswered(view: DeckView): readonly BoardTrial[] {
  return view.board.trials.filter(isUnanswered);
}

/**
 * The trial whose verdict is on the screen: the one that was there, for as long as it has not been answered; else the
 * first whose trace has come, else the one that was swum last. Null where none waits for an answer.
 */
export function trialToAnswer(view: DeckView, before: string | null): string | null {
  const waiting = unanswered(view);
  const next =
    waiting.find(({ trial }) => trial === before) ??
    waiting.find((swim) => hasTrace(view, swim)) ??
    waiting.at(-1);
  return next?.trial ?? null;
}

/** What stands in the way of the first trial. */
export function missingToBegin(view: DeckView): readonly ReadyItem[] {
  return view.ready.filter(({ needed, done }) => needed && !done);
}

/** The trial that may begin now; null where none may. */
export function trialToBegin(view: DeckView): BoardTrial | null {
  const swim = boardTrialOf(view, view.now);
  const mayBegin = view.board.closed === null && missingToBegin(view).length === 0;
  return mayBegin && swim?.state === 'planned' ? swim : null;
}

/** @param shown the trial whose verdict is on the screen */
export function primaryOf(view: DeckView, shown: string | null): Primary {
  const swimming = view.board.trials.find(({ state }) => state === 'swimming');
  if (swimming !== undefined) return { kind: 'end', swim: swimming };
  const arrived = unanswered(view).filter((swim) => hasTrace(view, swim));
  const here = arrived.find(({ trial }) => trial === shown);
  if (here !== undefined) return { kind: 'answer', swim: here };
  if (arrived[0] !== undefined) return { kind: 'look', swim: arrived[0] };
  if (view.board.closed !== null) return { kind: 'closed' };
  const missing = missingToBegin(view);
  if (missing.length > 0) return { kind: 'prepare', missing };
  const swim = trialToBegin(view);
  return swim === null ? { kind: 'finished' } : { kind: 'begin', swim };
}

/** Planned trials in their order. */
export function plannedTrials(view: DeckView): readonly BoardTrial[] {
  return view.board.trials.filter(({ state }) => state === 'planned');
}

/** Before which planned trial a trial goes when it moves by one; null is the end, undefined where it cannot move so. */
export function moveTarget(view: DeckView, trial: string, way: 'up' | 'down'): string | null | undefined {
  const planned = plannedTrials(view);
  const at = planned.findIndex((swim) => swim.trial === trial);
  if (at < 0 || (way === 'up' && at === 0) || (way === 'down' && at === planned.length - 1)) return undefined;
  return way === 'up' ? planned[at - 1]!.trial : (planned[at + 2]?.trial ?? null);
}

/** The trial that a note is about: being swum, on the screen, swum last, or on now. */
export function trialToNote(view: DeckView, shown: string | null): string | null {
  const { trials: swims } = view.board;
  const swimming = swims.find(({ state }) => state === 'swimming');
  return swimming?.trial ?? shown ?? swims.findLast(({ state }) => state === 'swum')?.trial ?? view.now;
}

/** Files that could not be read, but for those of which a readable one of the same name came later. */
export function unreadableFiles({ files }: DeckView): readonly FileView[] {
  const mended = (file: FileView) =>
    files.some(({ id, name, state }) => id > file.id && name === file.name && state === 'placed');
  return files.filter((file) => file.state === 'unreadable' && !mended(file));
}

/** What of a trial's files has not come yet, and what has; null where all is here. */
export function waitingSentence(view: DeckView, swim: BoardTrial): string | null {
  const found = trialOf(view, swim.trial);
  const filmed = swimmerOf(view, swim.participant)?.consents.filming === 'given';
  const cameras = filmed ? view.protocol.content.cameras.map(({ camera }) => camera) : [];
  const come = found?.films.map(({ camera }) => camera) ?? [];
  const trace = found?.trace != null;
  const film = (camera: string) => `the film of camera ${camera}`;
  const here = [...(trace ? ['the trace'] : []), ...come.map(film)];
  const missing = [
    ...(trace ? [] : ['the trace']),
    ...cameras.filter((camera) => !come.includes(camera)).map(film),
  ];
  if (missing.length === 0) return null;
  const spoilt = unreadableFiles(view).filter(({ offers }) => offers[0]?.trial === swim.trial);
  const arrived = here.length === 0 ? [] : [`${and(here)} ${here.length === 1 ? 'is' : 'are'} here`];
  const bad = spoilt.map(({ name }) => `${name} came and could not be read`);
  const rest = arrived.length + bad.length === 0 ? 'nothing has come yet' : [...arrived, ...bad].join('; ');
  return `Waiting for ${and(missing)}; ${rest}.`;
}

function and(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)!}`;
}
