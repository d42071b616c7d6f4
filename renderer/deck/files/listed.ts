/** The day's view in the lists that its files and trials are looked at in. */
import { MAIN_CAMERA } from '../../../core/clock/clock.ts';
import { consentHolds } from '../../../core/day/tables.ts';
import type { BoardTrial, DeckSwimmer, FileTarget } from '../../../core/deck/deck.ts';
import type { DeckTrialView, FileView } from '../../../core/deck/views.ts';
import type { DeckView } from '../../../core/contract/deck.ts';
import { trialText } from './filewords.ts';

export type Listed = 'all' | 'placed' | 'aside';

const LISTED: Readonly<Record<Listed, (file: FileView) => boolean>> = {
  all: () => true,
  placed: ({ state }) => state === 'placed',
  aside: ({ state }) => state !== 'placed' && state !== 'offered',
};

/** Files nobody knows the place of, in the order in which they came. */
export function offeredFiles(view: DeckView): readonly FileView[] {
  return view.files.filter(({ state }) => state === 'offered').toSorted((a, b) => a.id - b.id);
}

/** Files of the table as it is listed, the newest first. */
export function listedFiles(view: DeckView, listed: Listed): readonly FileView[] {
  return view.files.filter(LISTED[listed]).toSorted((a, b) => b.id - a.id);
}

/** A trial with what came of it. */
export interface TrialWithFiles {
  readonly swim: BoardTrial;
  readonly found: DeckTrialView;
  /** The swimmer where films of them are kept out of sight, for want of consent to filming. */
  readonly unfilmed: DeckSwimmer | null;
}

/** The trials that were begun or have files: those with something to put right. */
export function trialsWithFiles(view: DeckView): readonly TrialWithFiles[] {
  const found = new Map(view.trials.map((trial) => [trial.trial, trial]));
  return view.board.trials.flatMap((swim) => {
    const trial = found.get(swim.trial);
    if (trial === undefined) return [];
    const isOn = swim.state === 'swum' || swim.state === 'swimming';
    const hasFiles = trial.trace !== null || trial.films.length > 0;
    const swimmer = view.plan.swimmers.find(({ participant }) => participant === swim.participant) ?? null;
    const unfilmed = swimmer?.consents.filming === 'given' ? null : swimmer;
    return isOn || hasFiles ? [{ swim, found: trial, unfilmed }] : [];
  });
}

/** The swimmers whose consents keep something out of sight: their data, or their films. */
export function hidingSwimmers({ plan }: DeckView): readonly DeckSwimmer[] {
  return plan.swimmers.filter(
    ({ consents }) => !consentHolds(consents.measuring) || consents.filming !== 'given',
  );
}

/** The trials a file may be given to, by swimmer in the order of the board. */
export function trialGroups({ board }: DeckView) {
  const swimmers = [...new Set(board.trials.map(({ participant }) => participant))];
  return swimmers.map((participant) => ({
    participant,
    trials: board.trials
      .filter((swim) => swim.participant === participant)
      .map((swim) => ({ trial: swim.trial, text: trialText(swim) })),
  }));
}

/** The cameras a film may be of; those of its places so far among them. */
export function camerasOf({ protocol }: DeckView, ...others: readonly string[]): readonly string[] {
  const planned = protocol.content.cameras.map(({ camera }) => camera);
  return [...new Set([MAIN_CAMERA, ...planned, ...others])];
}

/** The sensors put on this day, each once. */
export function sensorCodes({ plan }: DeckView): readonly string[] {
  return [...new Set(plan.sensors.map(({ sensor }) => sensor))];
}

/** True where two places are one. */
export function isSamePlace(one: FileTarget, other: FileTarget): boolean {
  const cameras = (one.camera ?? MAIN_CAMERA) === (other.camera ?? MAIN_CAMERA);
  return one.trial === other.trial && one.as === other.as && (one.as === 'trace' || cameras);
}

/** The other file that has a place now; null where none has. */
export function holderOf({ files }: DeckView, file: FileView, wanted: FileTarget): FileView | null {
  const has = ({ id, state, place }: FileView) =>
    id !== file.id && state === 'placed' && place !== null && isSamePlace(place, wanted);
  return files.find(has) ?? null;
}
