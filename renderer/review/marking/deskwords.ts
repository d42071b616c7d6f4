/** What the marking desk says where it cannot do what was asked, and what it remembers. */
import type { Hand } from '../../../core/base/hand.ts';

export const NO_CHOICE = 'No mark is chosen: choose one first, on the trace, in the list, or by its key.';

export const NO_PICTURE =
  'The film does not show the frame that is stated, so nothing was marked: step away and back, or mark on the trace.';

export const NOTHING_EXPECTED =
  'Nothing is expected: mark one stroke in full first, and confirm propulsion or mark an event of the others.';
/** The cursor stands at a mark that is no further from it, s. */
export const AT_CURSOR_S = 1e-6;

export const otherHand = (hand: Hand): Hand => (hand === 'left' ? 'right' : 'left');
