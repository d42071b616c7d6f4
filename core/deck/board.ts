/** What a testing day's board shows: who is on now, who rests until when, and nothing of swimmers without consent. */
import type { BoardTrial, DeckBoard, DeckPlan, DeckSwimmer } from './deck.ts';
import type { Deck } from './act.ts';
import { isShown } from './tables.ts';
import { consentHolds } from '../day/tables.ts';
import type { Shown } from '../base/shown.ts';
import { namesWithdrawn, veiled } from './veil.ts';

/** The trials that are on now, next and after: the one being swum, else the first that waits; null where there is none. */
export function boardTurns(trials: readonly BoardTrial[]): {
  readonly now: string | null;
  readonly next: string | null;
  readonly after: string | null;
} {
  const swims = trials.filter(({ state }) => state === 'swimming');
  const waits = trials.filter(({ state }) => state === 'planned');
  const [now, next, after] = [...swims, ...waits];
  return { now: now?.trial ?? null, next: next?.trial ?? null, after: after?.trial ?? null };
}

/**
 * Until when each swimmer rests, ms since 1970, by participant.
 * @param restS shortest rest between two trials of a swimmer, s
 */
export function restUntil(swims: readonly BoardTrial[], restS: number): Readonly<Record<string, number>> {
  const until = new Map<string, number>();
  for (const { participant, endedMs } of swims)
    if (endedMs !== null)
      until.set(participant, Math.max(until.get(participant) ?? 0, endedMs + Math.round(restS * 1000)));
  return Object.fromEntries(until);
}

interface ShownDeck {
  readonly plan: Shown<DeckPlan>;
  readonly board: Shown<DeckBoard>;
}

/** The day without anything of swimmers who do not consent, but that they are there. */
export function withoutHidden(deck: Deck): ShownDeck {
  const { plan, board } = deck;
  const hiddenTrials = new Set(board.trials.filter((swim) => !isShown(deck, swim)).map(({ trial }) => trial));
  const openSwimmers = new Set(
    plan.swimmers
      .filter(({ consents }) => consentHolds(consents.measuring))
      .map(({ participant }) => participant),
  );
  const isOpen = ({ trial, participant }: { trial: string | null; participant?: string | null }) =>
    (trial === null || !hiddenTrials.has(trial)) && (participant == null || openSwimmers.has(participant));
  const names = namesWithdrawn(plan);
  const words = (text: string) => veiled(names, text);
  const shown: DeckBoard = {
    ...board,
    trials: board.trials.filter((swim) => isShown(deck, swim)).map((swim) => withWords(swim, words)),
    given: board.given
      .filter(({ to }) => to === null || isOpen({ trial: to.trial }))
      .map((one) => ({ ...one, why: words(one.why) })),
    notes: board.notes.filter((note) => isOpen(note) && !names(note.says)),
    sections: board.sections.filter(isOpen),
    resting: board.resting
      .filter(({ participant }) => openSwimmers.has(participant))
      .map((one) => ({ ...one, why: words(one.why) })),
    dryRun: board.dryRun && { ...board.dryRun, says: words(board.dryRun.says) },
  };
  const swimmers = plan.swimmers.map((swimmer) =>
    swimmer.consents.measuring === 'withdrawn' ? bare(swimmer) : swimmer,
  );
  const known: DeckPlan = { ...plan, swimmers };
  return { plan: known as Shown<DeckPlan>, board: shown as Shown<DeckBoard> };
}

function withWords(swim: BoardTrial, words: (text: string) => string): BoardTrial {
  const { answer, skippedWhy, stopped } = swim;
  return {
    ...swim,
    stopped: stopped && { ...stopped, says: words(stopped.says) },
    answer: answer && { ...answer, reason: words(answer.reason) },
    skippedWhy: words(skippedWhy),
  };
}

/** What stays on the screen of a swimmer who withdrew: the code and the consents. */
function bare({ participant, consents, consentTextVersion }: DeckSwimmer): DeckSwimmer {
  return {
    participant,
    consents,
    consentTextVersion,
    birthYear: null,
    sex: null,
    heightCm: null,
    massKg: null,
    leftHandAreaCm2: null,
    rightHandAreaCm2: null,
    handAreaUCm2: null,
    note: '',
  };
}
