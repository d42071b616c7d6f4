/** Where the cursor goes by itself after a mark: to where the next event is expected. */
import type { Expected } from './expected.ts';
import type { MarkClock } from './placement.ts';
import { nearestSpot } from './spots.ts';
import type { UnderReview } from './underreview.ts';

/** Turned off, it stays off from trial to trial. */
const KEPT = 'lanebench.advance';

export class Advance {
  readonly #review: UnderReview;
  readonly #clock: () => 'video' | 'trace';
  #on = $state(localStorage.getItem(KEPT) !== 'off');

  /** @param clock what marks go on now */
  constructor(review: UnderReview, clock: () => 'video' | 'trace') {
    this.#review = review;
    this.#clock = clock;
  }

  /** Whether the cursor goes on by itself after a mark. */
  get on(): boolean {
    return this.#on;
  }

  turn(): void {
    this.#on = !this.#on;
    localStorage.setItem(KEPT, this.#on ? '' : 'off');
  }

  /** Goes to the frame or sample nearest to what is expected; stays where nothing is. */
  goTo(next: Expected | null): void {
    if (next === null) return;
    const { playback, view } = this.#review;
    const { camera } = playback;
    const clock = this.#clock() === 'video' ? { clock: 'video', camera } : { clock: 'trace', camera: null };
    const found = nearestSpot(view, clock as MarkClock, next.timeS);
    if (found.ok) playback.moveTo(found.spot.timeS);
  }
}
