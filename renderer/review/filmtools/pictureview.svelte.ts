/** How the film's picture is looked at: closer, brighter, taller; and the box that a person draws on it. */
import { boxBetween, boxWithin, panBy, WHOLE, zoomAbout, type Box, type Framing } from './framing.ts';

/** Each press of a zoom key or button shows this much more or less. */
const STEP = 1.5;
/** Each press of a pan key or button moves the picture by this share of the pane. */
const PAN_SHARE = 0.2;
const MIDDLE = { x: 0.5, y: 0.5 };
/** As recorded, %. */
const AS_IT_IS = 100;

type Size = { readonly widthPx: number; readonly heightPx: number };

export class PictureView {
  #framing = $state.raw<Framing>(WHOLE);
  /** % of what was recorded. */
  brightness = $state(AS_IT_IS);
  contrast = $state(AS_IT_IS);
  /** Whether the picture takes the height of the window. */
  tall = $state(false);
  /** Whether the tools for the picture are open. */
  adjusts = $state(false);
  /** Whether a drag over the picture draws a box. */
  boxing = $state(false);
  #box = $state.raw<Box | null>(null);

  get framing(): Framing {
    return this.#framing;
  }

  /** The box on the picture, px of the film; null where none is drawn. */
  get box(): Box | null {
    return this.#box;
  }

  /** True where the picture is not shown as it was recorded. */
  get isChanged(): boolean {
    return this.#framing.zoom > 1 || this.brightness !== AS_IT_IS || this.contrast !== AS_IT_IS;
  }

  readonly filter = $derived.by(() =>
    this.brightness === AS_IT_IS && this.contrast === AS_IT_IS
      ? 'none'
      : `brightness(${this.brightness}%) contrast(${this.contrast}%)`,
  );

  zoomBy(direction: 1 | -1): void {
    this.zoomAt(MIDDLE, STEP ** direction);
  }

  /** Zooms about a place of the pane, shares 0…1. */
  zoomAt(at: { readonly x: number; readonly y: number }, factor: number): void {
    this.#framing = zoomAbout(this.#framing, at, factor);
  }

  /** Moves what is shown by shares of the pane. */
  panBy(xShare: number, yShare: number): void {
    this.#framing = panBy(this.#framing, xShare, yShare);
  }

  /** Moves what is shown by a step. */
  step(x: -1 | 0 | 1, y: -1 | 0 | 1): void {
    this.panBy(x * PAN_SHARE, y * PAN_SHARE);
  }

  /** Back to the picture as it was recorded. */
  reset(): void {
    this.#framing = WHOLE;
    this.brightness = AS_IT_IS;
    this.contrast = AS_IT_IS;
  }

  putBox(box: Box, film: Size): void {
    this.#box = boxWithin(box, film);
  }

  drawBox(from: { x: number; y: number }, to: { x: number; y: number }, film: Size): void {
    this.putBox(boxBetween(from, to), film);
  }

  /** A box in the middle, a fifth of the picture each way, for those who draw it by keys. */
  startBox(film: Size): void {
    const { widthPx, heightPx } = film;
    this.putBox({ x: 0.4 * widthPx, y: 0.4 * heightPx, width: 0.2 * widthPx, height: 0.2 * heightPx }, film);
  }

  clearBox(): void {
    this.#box = null;
    this.boxing = false;
  }
}
