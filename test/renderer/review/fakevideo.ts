/** A video element as far as a test needs one: seeks take a turn, frames come when the test says so. */
type FrameCallback = (now: number, metadata: { mediaTime: number }) => void;

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

  /** The seek is over. */
  arrive(): void {
    this.readyState = 4;
    this.dispatchEvent(new Event('seeked'));
  }

  /** A frame comes on the screen. */
  present(mediaTime: number): void {
    this.#timeS = mediaTime;
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
