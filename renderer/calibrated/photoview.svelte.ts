/** How large a photograph is shown, and pointing at it: a click places, a press that moves draws, keys move a crosshair. */
import { tick } from 'svelte';
import type { Point } from '../../core/force/outline.ts';
import type { Photo } from './photo.ts';
import type { Tracing } from './tracing.svelte.ts';

const STEP = 1.5;
const MOST = 8;
/** A press that moved less than this is a click, px on the screen. */
const CLICK_PX = 6;
const MOVES: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

export class PhotoView {
  readonly #tracing: Tracing;
  readonly #photo: () => Photo;
  /** Size of the pane, px. */
  widthPx = $state(0);
  heightPx = $state(0);
  /** Times the size that fits the pane. */
  #times = $state(1);
  /** What moved or was placed last, for those who do not see it. */
  #said = $state('');
  #pane: HTMLElement | null = null;
  #pressed: Point | null = null;
  #draws = false;

  readonly zoom = $derived.by(() => {
    const { widthPx, heightPx } = this.#photo();
    const fit = Math.min(this.widthPx / widthPx, this.heightPx / heightPx);
    return (fit > 0 ? fit : 1) * this.#times;
  });

  /** @param photo what is shown; read where it may change */
  constructor(tracing: Tracing, photo: () => Photo) {
    this.#tracing = tracing;
    this.#photo = photo;
  }

  get times(): number {
    return this.#times;
  }

  get said(): string {
    return this.#said;
  }

  readonly attach = (pane: HTMLElement): void => {
    this.#pane = pane;
  };

  zoomBy(direction: 1 | -1): void {
    this.#times = Math.min(MOST, Math.max(1, this.#times * STEP ** direction));
    void this.#reveal();
  }

  fit(): void {
    this.#times = 1;
  }

  press(event: PointerEvent & { currentTarget: Element }): void {
    if (event.button !== 0) return;
    event.currentTarget.setPointerCapture(event.pointerId);
    this.#pressed = this.#at(event);
    this.#draws = false;
  }

  drag(event: PointerEvent & { currentTarget: Element }): void {
    if (this.#pressed === null || this.#tracing.marksScale) return;
    const here = this.#at(event);
    const moved = Math.hypot(here.x - this.#pressed.x, here.y - this.#pressed.y) * this.zoom;
    if (!this.#draws && moved < CLICK_PX) return;
    if (!this.#draws) this.#tracing.draw(this.#pressed, this.zoom);
    this.#draws = true;
    this.#tracing.draw(here, this.zoom);
  }

  lift(event: PointerEvent & { currentTarget: Element }): void {
    if (this.#pressed !== null && !this.#draws) this.#tracing.place(this.#at(event), this.zoom);
    this.#pressed = null;
  }

  cancel(): void {
    this.#pressed = null;
  }

  /** Keys of the photograph; those it does not know are left to the browser. */
  key(event: KeyboardEvent): void {
    const move = MOVES[event.key];
    if (event.altKey || event.metaKey) return;
    if (move !== undefined) {
      const step = event.ctrlKey ? 100 : event.shiftKey ? 10 : 1;
      const { x, y } = this.#tracing.crosshair;
      this.#tracing.moveTo({ x: x + step * move[0], y: y + step * move[1] });
      this.#say('Crosshair');
    } else if (event.key === 'Enter') {
      this.#tracing.place(this.#tracing.crosshair, this.zoom);
      this.#say('Placed');
    } else if (event.key === 'Backspace') {
      this.#tracing.takeBack();
      this.#said = 'Last point taken back.';
    } else if (event.key === '+' || event.key === '-') this.zoomBy(event.key === '+' ? 1 : -1);
    else return;
    event.preventDefault();
    void this.#reveal();
  }

  #say(what: string): void {
    const { x, y } = this.#tracing.crosshair;
    this.#said = `${what} at ${Math.round(x)}, ${Math.round(y)} px.`;
  }

  #at(event: PointerEvent & { currentTarget: Element }): Point {
    const box = event.currentTarget.getBoundingClientRect();
    return { x: (event.clientX - box.left) / this.zoom, y: (event.clientY - box.top) / this.zoom };
  }

  /** Brings the crosshair into the pane, well inside it. */
  async #reveal(): Promise<void> {
    await tick();
    const pane = this.#pane;
    if (pane === null) return;
    const { x, y } = this.#tracing.crosshair;
    pane.scrollLeft = inside(pane.scrollLeft, pane.clientWidth, x * this.zoom);
    pane.scrollTop = inside(pane.scrollTop, pane.clientHeight, y * this.zoom);
  }
}

function inside(scroll: number, room: number, at: number): number {
  const margin = room / 6;
  return Math.min(at - margin, Math.max(at - room + margin, scroll));
}
