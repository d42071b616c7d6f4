/** From which moment two trials are laid beside one another. */
import type { TrialView } from '../../../core/contract/views.ts';
import { smallest } from '../../../core/base/extent.ts';
import { trialSpan } from '../timeline.ts';

export interface Start {
  /** s, on the trial's clock. */
  readonly timeS: number;
  /** What happens there. */
  readonly what: string;
}

/** The start of the measured section; without one the first mark; without any the beginning of what there is. */
export function startOf(view: TrialView): Start {
  if (view.section !== null) return { timeS: view.section.startS, what: 'the start of the section' };
  const marks = view.result.strokes.flatMap(({ stroke }) =>
    Object.values(stroke.marks).map(({ timeS }) => timeS),
  );
  if (marks.length > 0) return { timeS: smallest(marks), what: 'the first mark' };
  return { timeS: trialSpan(view).fromS, what: 'the beginning' };
}
