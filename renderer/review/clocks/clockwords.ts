/** Short words for how well a clock is tied; the sentences come from the core. */
import type { ClockVerdict } from '../../../core/clock/quality.ts';

export const CLOCK_WORDS: Readonly<Record<ClockVerdict, string>> = {
  no_pair: 'not tied',
  one_pair: 'offset alone, from one pair',
  one_moment: 'offset alone, from one moment',
  runs_backward: 'contradictory: no line',
  contradictory: 'contradictory pairs',
  rate_far: 'rate in doubt',
  unchecked: 'tied, nothing confirms it',
  good: 'tied and confirmed',
};
