/** What the board calls states, answers, clocks and the notes that are made with one tap. */
import type { DeckNote, BoardTrial, TrialAnswer, BoardState } from '../../../core/deck/deck.ts';
import type { FilmConsent } from '../../../core/day/tables.ts';
import type { Consent } from '../../../core/day/tables.ts';

export const STATE_WORDS: Readonly<Record<BoardState, string>> = {
  planned: 'Planned',
  swimming: 'In the water',
  swum: 'Swum',
  skipped: 'Skipped',
};

export const ANSWER_WORDS: Readonly<Record<TrialAnswer, string>> = {
  keep: 'Accepted',
  again: 'To be swum again',
  leave: 'Excluded',
};

export const MEASURING_WORDS: Readonly<Record<Consent, string>> = {
  given: 'given',
  assent_and_guardian: 'assent, and a guardian’s consent',
  withdrawn: 'withdrawn',
  missing: 'missing',
};

export const FILM_WORDS: Readonly<Record<FilmConsent, string>> = {
  given: 'given',
  withheld: 'withheld',
  not_asked: 'not asked',
};

/** Notes that come up again and again; each is one tap. */
export const ONE_TAP_NOTES: readonly { readonly kind: DeckNote['kind'] | 'stop'; readonly says: string }[] = [
  { kind: 'note', says: 'Goggles slipped' },
  { kind: 'note', says: 'Breathed late' },
  { kind: 'note', says: 'Hit the rope' },
  { kind: 'note', says: 'Strap came loose' },
  { kind: 'stop', says: 'Stopped: shoulder pain' },
];

/** A stretch of time as minutes and seconds, such as `1:20`; never below zero. */
export function clockText(ms: number): string {
  const seconds = Math.max(0, Math.floor(ms / 1000));
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`;
}

/** The time of day on this machine's clock, such as `09:05`. */
export function timeOfDay(atMs: number): string {
  const at = new Date(atMs);
  return `${String(at.getHours()).padStart(2, '0')}:${String(at.getMinutes()).padStart(2, '0')}`;
}

/** Swimmer, attempt and condition of a trial. */
export function whoWords({ participant, attempt, condition, repeatOf }: BoardTrial): string {
  const parts = [`Swimmer ${participant}`, `attempt ${attempt}`];
  if (condition !== null) parts.push(condition);
  if (repeatOf !== null) parts.push(`repeat of ${repeatOf}`);
  return parts.join(' · ');
}

/** What stopped a swimmer, where and when, such as `stopped in P03-1 at 11:40: shoulder pain`. */
export function stopWords({ trial, stopped }: Pick<BoardTrial, 'trial' | 'stopped'>): string {
  return stopped === null ? '' : `stopped in ${trial} at ${timeOfDay(stopped.atMs)}: ${stopped.says}`;
}

/** That a swimmer is not to be filmed, for those who turn the cameras; null where they may be. */
export function noFilmingWords(filming: FilmConsent): string | null {
  if (filming === 'given') return null;
  return `No filming: consent ${FILM_WORDS[filming]}`;
}
