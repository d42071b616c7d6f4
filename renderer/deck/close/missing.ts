/** What is missing, by the trial it concerns, with where that is mended. */
import type { CloseView } from '../../../core/deck/views.ts';
import type { DeckView } from '../../../core/contract/deck.ts';
import { DECK_WORDS, hashOf, type Route } from '../../route.ts';

interface MissingGroup {
  /** The trial; null for the day as a whole. */
  readonly trial: string | null;
  readonly says: readonly string[];
}

export function groupMissing(missing: CloseView['missing']): readonly MissingGroup[] {
  const trials = [...new Set(missing.map(({ trial }) => trial))];
  return trials.map((trial) => ({
    trial,
    says: missing.filter((one) => one.trial === trial).map(({ says }) => says),
  }));
}

/** The screens on which a trial, or the day, is put right; a trial without files has nothing to review. */
export function mendingLinks({ id: day, trials }: DeckView, trial: string | null) {
  const link = (text: string, route: Route) => ({ text, hash: hashOf(route) });
  const both = [
    link(DECK_WORDS.deck, { screen: 'deck', day }),
    link(DECK_WORDS.files, { screen: 'files', day }),
  ];
  if (trial === null) return [link(DECK_WORDS.prepare, { screen: 'prepare', day }), ...both];
  const found = trials.find((one) => one.trial === trial);
  const hasFiles = found !== undefined && (found.trace !== null || found.films.length > 0);
  return hasFiles ? [...both, link('Review', { screen: 'trial', day, trial })] : both;
}
