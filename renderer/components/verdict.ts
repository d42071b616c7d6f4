/** The check's verdict in words. */
import type { CheckVerdict } from '../../core/trial/check.ts';

export const VERDICT_WORDS: Readonly<Record<CheckVerdict, string>> = {
  good: 'Good',
  look: 'Look',
  swim_again: 'Swim again',
};
