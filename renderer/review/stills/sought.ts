/**
 * A frame brought to the screen by a film element that stands still: sought, and sought again until the film itself
 * says, by the presentation time of what it put on the screen, that it is that frame.
 */
import type { FilmView } from '../../../core/contract/views.ts';
import { middleOfFrameS } from '../frames.ts';

/** How long a film is waited for to say what it shows after a seek, ms; doubled at each further try. */
const PATIENCE_MS = 250;
const MOST_PATIENCE_MS = 2000;
/** Tries after which nobody is kept waiting. */
const MANY = 6;

interface Told {
  /** The wanted frame is on the screen. */
  readonly settled: (frame: number) => void;
  /** It is not, or not any more. */
  readonly unsettled: () => void;
  /** It does not come though it was sought again and again. */
  readonly stuck: () => void;
}

export class Sought {
  readonly #film: FilmView;
  readonly #told: Told;
  #video: HTMLVideoElement | null = null;
  #wanted: number | null = null;
  /** The frame of the seek that is under way; null while there is none. */
  #outstanding: number | null = null;
  /** What the film put on the screen last since the latest seek was begun. */
  #presented: number | null = null;
  #tries = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(film: FilmView, told: Told) {
    this.#film = film;
    this.#told = told;
  }

  attach(video: HTMLVideoElement | null): void {
    this.forget();
    this.#video = video;
  }

  want(frame: number): void {
    if (this.#wanted !== frame) this.#tries = 0;
    this.#wanted = frame;
    this.#told.unsettled();
    if (this.#outstanding === null) this.#seek(frame);
  }

  /** Wants nothing any more; what is on the screen stays. */
  forget(): void {
    clearTimeout(this.#timer);
    this.#wanted = null;
    this.#outstanding = null;
    this.#presented = null;
    this.#tries = 0;
  }

  /** The film's own word on a frame that came on the screen. */
  presented(frame: number): void {
    this.#presented = frame;
    if (this.#wanted !== null && this.#outstanding === null) this.#judge();
  }

  /** A seek is over. */
  arrived(): void {
    const sought = this.#outstanding;
    this.#outstanding = null;
    if (this.#wanted === null || sought === null) return;
    if (sought === this.#wanted) this.#judge();
    else this.#seek(this.#wanted);
  }

  #seek(frame: number): void {
    clearTimeout(this.#timer);
    this.#outstanding = frame;
    this.#presented = null;
    this.#video!.currentTime = middleOfFrameS(this.#film, frame);
  }

  #judge(): void {
    clearTimeout(this.#timer);
    if (this.#presented === this.#wanted) {
      this.#tries = 0;
      this.#told.settled(this.#wanted!);
      return;
    }
    this.#told.unsettled();
    if (this.#tries >= MANY) this.#told.stuck();
    const isSilent = this.#presented === null;
    const wait = Math.min(MOST_PATIENCE_MS, PATIENCE_MS * 2 ** this.#tries);
    this.#timer = setTimeout(() => this.#again(isSilent), isSilent || this.#tries > 2 ? wait : 0);
  }

  #again(isSilent: boolean): void {
    if (this.#wanted === null || this.#outstanding !== null) return;
    this.#tries++;
    // A film that shows the frame already may not say so: by way of its neighbour it has to.
    this.#seek(isSilent ? beside(this.#wanted, this.#film) : this.#wanted);
  }
}

function beside(frame: number, { frameTimesS }: FilmView): number {
  if (frame > 0) return frame - 1;
  return Math.min(1, frameTimesS.length - 1);
}
