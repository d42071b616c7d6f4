/** What arrived, in words: sizes, states, places, consents. */
import { MAIN_CAMERA } from '../../../core/clock/clock.ts';
import { consentHolds, type Consent, type FilmConsent } from '../../../core/day/tables.ts';
import { DRY_RUN, type BoardTrial, type DeckSwimmer, type FileTarget } from '../../../core/deck/deck.ts';
import type { ArrivingFile, FileView, WatchView } from '../../../core/deck/views.ts';
import type { DeckView } from '../../../core/contract/deck.ts';
import { bytesText } from '../../format.ts';

export const KIND_WORDS: Readonly<Record<FileView['kind'], string>> = {
  trace: 'trace',
  film: 'film',
  other: 'neither trace nor film',
};

interface StateWords {
  readonly sign: string;
  readonly says: string;
  readonly asksAttention: boolean;
}

export const STATE_WORDS: Readonly<Record<FileView['state'], StateWords>> = {
  placed: { sign: '✓', says: 'Placed', asksAttention: false },
  offered: { sign: '?', says: 'Whose is it?', asksAttention: true },
  twice: { sign: '=', says: 'Came before', asksAttention: false },
  unreadable: { sign: '✕', says: 'Not readable', asksAttention: true },
  aside: { sign: '↓', says: 'Set aside', asksAttention: false },
  hidden: { sign: '–', says: 'Hidden', asksAttention: false },
};

export const WATCH_WORDS: Readonly<Record<WatchView['state'], StateWords>> = {
  watching: { sign: '✓', says: 'Watching', asksAttention: false },
  gone: { sign: '✕', says: 'Out of reach', asksAttention: true },
  off: { sign: '–', says: 'Not watching', asksAttention: true },
};

/** How far a file on its way is, in words. */
export function arrivingText({ state, copied, bytes, says }: ArrivingFile): string {
  const far = {
    growing: `still growing, ${bytesText(bytes)} so far`,
    copying: copied === null ? 'copying' : `copying, ${bytesText(copied)} of ${bytesText(bytes)}`,
    waiting: 'waiting',
    stopped: 'stopped',
  }[state];
  return says === '' ? far : `${far}: ${says}`;
}

/** A place such as `P01-1, film of camera A`. */
export function placeText({ trial, as, camera }: FileTarget): string {
  const what = as === 'trace' ? 'trace' : `film of camera ${camera ?? MAIN_CAMERA}`;
  return `${trial === DRY_RUN ? 'dry run' : trial}, ${what}`;
}

/** Where a trial stands on the board: `now`, `next`, or nothing worth a word. */
export function standsText(view: DeckView, trial: string): string {
  return trial === view.now ? 'now' : trial === view.next ? 'next' : '';
}

const RUN_WORDS: Readonly<Record<BoardTrial['state'], string>> = {
  planned: 'planned',
  swimming: 'swimming now',
  swum: 'swum',
  skipped: 'skipped',
};

/** A trial as one of a list, such as `P01-1, attempt 1, paddles, swum`. */
export function trialText({ trial, attempt, condition, state }: BoardTrial): string {
  return [trial, `attempt ${attempt}`, condition, RUN_WORDS[state]]
    .filter((part) => part !== null)
    .join(', ');
}

const MEASURING: Readonly<Record<Consent, string>> = {
  given: 'given',
  assent_and_guardian: 'assent and guardian’s consent given',
  withdrawn: 'withdrawn',
  missing: 'missing',
};
const FILMING: Readonly<Record<FilmConsent, string>> = {
  given: 'given',
  withheld: 'withheld',
  not_asked: 'not asked',
};

/** Three separate things a swimmer is asked. */
export function consentWords({ measuring, filming, sharing }: DeckSwimmer['consents']) {
  return [
    { about: 'Measuring', says: MEASURING[measuring], given: consentHolds(measuring) },
    { about: 'Filming', says: FILMING[filming], given: filming === 'given' },
    { about: 'Showing film to others', says: FILMING[sharing], given: sharing === 'given' },
  ];
}
