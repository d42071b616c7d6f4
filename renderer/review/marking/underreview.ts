/** What marking knows of the trial under review: what is shown of it, and the cursor that marks are put at. */
import type { TraceS } from '../../../core/base/units.ts';
import type { TrialView } from '../../../core/contract/views.ts';
import type { PlotWindow } from '../../plot/plotwindow.svelte.ts';
import type { Playback } from '../playback.svelte.ts';
import type { Samples } from '../samples.ts';
import type { Turns } from '../turns.ts';

export interface UnderReview {
  readonly view: TrialView;
  readonly samples: Samples;
  readonly playback: Playback;
  /** s on the trial's clock. */
  readonly cursorS: TraceS;
  /** What waits while a mark waits for its picture. */
  readonly turns: Turns;
  readonly plot: PlotWindow;
  /** Takes a newer view of the same trial. */
  renew(view: TrialView): void;
}
