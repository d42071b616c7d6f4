/**
 * The one owner of the animation frame on this screen: drawing is asked for by name and done once per frame however
 * often it was asked for; a ticker runs every frame until it is stopped.
 */
type Draw = () => void;
/** Called with the time since the frame before, s; 0 at the first. */
type Ticker = (passedS: number) => void;

export class FrameLoop {
  readonly #draws = new Map<string, Draw>();
  #ticker: Ticker | null = null;
  #lastMs: number | null = null;
  #handle: number | null = null;

  /** Draws at the next frame; a later request of the same name takes the earlier one's place. */
  request(name: string, draw: Draw): void {
    this.#draws.set(name, draw);
    this.#wake();
  }

  /** Runs a ticker every frame, in place of any other. */
  start(ticker: Ticker): void {
    this.#ticker = ticker;
    this.#lastMs = null;
    this.#wake();
  }

  stop(): void {
    this.#ticker = null;
  }

  get ticking(): boolean {
    return this.#ticker !== null;
  }

  /** Forgets whatever was asked for. */
  close(): void {
    this.#ticker = null;
    this.#draws.clear();
    if (this.#handle !== null) cancelAnimationFrame(this.#handle);
    this.#handle = null;
  }

  #wake(): void {
    this.#handle ??= requestAnimationFrame((nowMs) => this.#frame(nowMs));
  }

  #frame(nowMs: number): void {
    this.#handle = null;
    const passedMs = this.#lastMs === null ? 0 : nowMs - this.#lastMs;
    this.#lastMs = nowMs;
    this.#ticker?.(passedMs / 1000);
    const draws = [...this.#draws.values()];
    this.#draws.clear();
    for (const draw of draws) draw();
    if (this.#ticker !== null || this.#draws.size > 0) this.#wake();
  }
}
