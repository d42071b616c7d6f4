/** Keeps the force plot in step with its window, samples and theme: worked out when one changes, drawn once a frame. */
import { look } from '../theme/theme.svelte.ts';
import { openForceChart } from './forcechart.ts';
import { makePicture, wholeRange } from './picture.ts';
import { INSET } from '../plot/plotwindow.svelte.ts';
import type { TrialReview } from './trialreview.svelte.ts';

export class PlotPainter {
  readonly #review: () => TrialReview;
  /** Height of the plot's pane, px. */
  heightPx = $state(0);

  readonly #wholeRangeN = $derived.by(() => wholeRange(this.#review().samples));
  readonly picture = $derived.by(() => {
    const { plot, samples, view } = this.#review();
    const pane = { widthPx: plot.paneWidthPx, heightPx: this.heightPx };
    const inner = { width: plot.widthPx, height: this.plotHeightPx };
    return makePicture(view.trace, samples, plot.span, pane, inner, plot.fitY ? null : this.#wholeRangeN);
  });

  constructor(review: () => TrialReview) {
    this.#review = review;
  }

  /** Height of the plot within its insets, px. */
  get plotHeightPx(): number {
    return Math.max(1, this.heightPx - INSET.top - INSET.bottom);
  }

  /** Takes an element to draw into; the returned function lets it go. */
  readonly attach = (element: HTMLElement): (() => void) => {
    const chart = openForceChart(element);
    $effect(() => {
      const { picture } = this;
      const { theme } = look;
      if (picture.widthPx === 0 || picture.heightPx === 0) return;
      this.#review().frames.request('force', () => chart.draw(picture, theme));
    });
    return () => chart.close();
  };
}
