/** A video element as far as a test needs one: seeks take a turn, frames come when the test says so. */
type FrameCallback = (now: number, metadata: { mediaTime: number }) => void;

/** What a film says of its picture after a seek: the frame's own time, well before the middle that was sought. */
const ownTimeS = (soughtS: number) => soughtS - 0.008;

export class FakeVideo extends EventTarget {
  readyState = 4;
  playbackRate = 1;
  ended = false;
  paused = true;
  readonly seeks: number[] = [];
  #timeS = 0;
  #callback: FrameCallback | null = null;

  get currentTime(): number {
    return this.#timeS;
  }

  set currentTime(timeS: number) {
    this.#timeS = timeS;
    this.seeks.push(timeS);
    // A browser has no more than the metadata while it seeks.
    this.readyState = 1;
  }

  /** The seek is over; the film says what it shows, or nothing. */
  arrive(shows: number | null = ownTimeS(this.#timeS)): void {
    this.readyState = 4;
    this.dispatchEvent(new Event('seeked'));
    if (shows !== null) this.#tell(shows);
  }

  /** A frame comes on the screen. */
  present(mediaTime: number): void {
    this.#timeS = mediaTime;
    this.#tell(mediaTime);
  }

  #tell(mediaTime: number): void {
    const callback = this.#callback;
    this.#callback = null;
    callback?.(0, { mediaTime });
  }

  /** The film comes to its end. */
  end(): void {
    this.paused = true;
    this.ended = true;
    this.dispatchEvent(new Event('pause'));
    this.dispatchEvent(new Event('ended'));
  }

  play(): Promise<void> {
    this.paused = false;
    this.ended = false;
    return Promise.resolve();
  }

  pause(): void {
    this.paused = true;
  }

  requestVideoFrameCallback(callback: FrameCallback): number {
    this.#callback = callback;
    return 1;
  }

  cancelVideoFrameCallback(): void {
    this.#callback = null;
  }

  asElement(): HTMLVideoElement {
    return this as unknown as HTMLVideoElement;
  }
}

/** Gives the film elements of jsdom, which play nothing, seeks that are over at once and frames that say their time. */
export function fakeFilms(): void {
  const callbacks = new WeakMap<HTMLVideoElement, FrameCallback>();
  const times = new WeakMap<HTMLVideoElement, number>();
  Object.defineProperties(HTMLVideoElement.prototype, {
    readyState: { configurable: true, get: () => HTMLMediaElement.HAVE_ENOUGH_DATA },
    currentTime: {
      configurable: true,
      get(this: HTMLVideoElement) {
        return times.get(this) ?? 0;
      },
      set(this: HTMLVideoElement, timeS: number) {
        times.set(this, timeS);
        this.dispatchEvent(new Event('seeked'));
        const callback = callbacks.get(this);
        callbacks.delete(this);
        callback?.(0, { mediaTime: ownTimeS(timeS) });
      },
    },
  });
  Object.assign(HTMLVideoElement.prototype, {
    requestVideoFrameCallback(this: HTMLVideoElement, callback: FrameCallback) {
      callbacks.set(this, callback);
      return 1;
    },
    cancelVideoFrameCallback(this: HTMLVideoElement) {
      callbacks.delete(this);
    },
    play: () => Promise.resolve(),
    pause: () => undefined,
    load: () => undefined,
  });
}
