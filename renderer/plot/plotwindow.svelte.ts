/** The stretch of time that the plot and the rows below it show. */
import type { Span } from './downsample.ts';
import { fitInto, pan, reveal, toPixel, toTime, withMargin, zoom } from './scale.ts';

/** Room beside and around the plot, px; the rows below share left and right. */
export const INSET = { left: 72, right: 56, top: 12, bottom: 48 } as const;

export class PlotWindow {
  #domain: () => Span;
  #span = $state.raw<Span>({ fromS: 0, toS: 1 });
  /** Whether the force axis fits what is in the window, or the whole trace. */
  fitY = $state(true);
  /** Width of the pane the plot lies in, px. */
  paneWidthPx = $state(0);

  /** @param domain the whole stretch that may be shown */
  constructor(domain: () => Span) {
    this.#domain = domain;
  }

  get span(): Span {
    return this.#span;
  }

  /** Width that the time axis is drawn on, px. */
  get widthPx(): number {
    return Math.max(1, this.paneWidthPx - INSET.left - INSET.right);
  }

  /** Pixel of a moment from the pane's left edge. */
  pixelAt(timeS: number): number {
    return INSET.left + toPixel(this.#span, this.widthPx, timeS);
  }

  /** Moment under a pixel from the pane's left edge, s. */
  timeAt(pixel: number): number {
    return toTime(this.#span, this.widthPx, pixel - INSET.left);
  }

  contains(timeS: number): boolean {
    return timeS >= this.#span.fromS && timeS <= this.#span.toS;
  }

  fit(span: Span, marginShare = 0): void {
    this.#span = withMargin(this.#domain(), span, marginShare);
  }

  fitAll(): void {
    this.#span = this.#domain();
  }

  zoom(aboutS: number, factor: number): void {
    this.#span = zoom(this.#domain(), this.#span, aboutS, factor);
  }

  panBy(timeS: number): void {
    this.#span = pan(this.#domain(), this.#span, timeS);
  }

  /** Moves the window by a share of its own length. */
  panByShare(share: number): void {
    this.panBy(share * (this.#span.toS - this.#span.fromS));
  }

  reveal(timeS: number): void {
    this.#span = reveal(this.#domain(), this.#span, timeS);
  }

  /** Puts the window back into its domain after that changed. */
  settle(): void {
    this.#span = fitInto(this.#domain(), this.#span);
  }
}
