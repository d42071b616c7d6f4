/** What the parts of a day that is run here are called. */
import type { DeckPartName } from '../route.ts';

export const DECK_WORDS: Readonly<Record<DeckPartName, string>> = {
  prepare: 'Prepare',
  deck: 'On deck',
  files: 'Files',
  close: 'Close the day',
};
