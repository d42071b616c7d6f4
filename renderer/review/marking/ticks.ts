/** Marks as they are drawn at the plot's edges. */
import type { Hand } from '../../../core/base/hand.ts';
import type { MarkRow } from '../../../core/marking/words.ts';
import { markWords } from '../strokes.ts';
import type { TrialReview } from '../trialreview.svelte.ts';
import { isTimed, markKey, markSentence } from './placement.ts';

export interface Tick {
  readonly key: string;
  readonly hand: Hand;
  readonly timeS: number;
  readonly clock: MarkRow['clock'];
  readonly unsure: boolean;
  /** The mark in words, and what it was made on. */
  readonly name: string;
}

/** Every mark with a place in time: as edited where the trial can be marked, else as the lab told it. */
export function ticksOf({ marking, view, marks }: TrialReview): readonly Tick[] {
  if (marking !== null)
    return marking.desk.marks.filter(isTimed).map((mark) => ({
      key: mark.key,
      hand: mark.row.hand,
      timeS: mark.timeS,
      clock: mark.row.clock,
      unsure: mark.row.unsure === true,
      name: markSentence(view, mark),
    }));
  return marks.map((mark) => ({
    key: markKey(mark),
    hand: mark.hand,
    timeS: mark.timeS,
    clock: mark.clock,
    unsure: false,
    name: `${markWords(mark)}, ${mark.clock === 'video' ? 'film' : 'force trace'}`,
  }));
}
