/** Seeks one after the other: never more than one outstanding, and of those wanted meanwhile the latest wins. */
export class SeekQueue {
  readonly #seek: (frame: number) => void;
  #outstanding: number | null = null;
  #next: number | null = null;

  /** @param seek starts a seek to a frame; `arrived` must be called once it is over */
  constructor(seek: (frame: number) => void) {
    this.#seek = seek;
  }

  /** True while a picture other than the wanted one may be on the screen. */
  get busy(): boolean {
    return this.#outstanding !== null;
  }

  want(frame: number): void {
    if (this.#outstanding === frame) {
      this.#next = null;
      return;
    }
    if (this.#outstanding !== null) {
      this.#next = frame;
      return;
    }
    this.#outstanding = frame;
    this.#seek(frame);
  }

  /** The outstanding seek is over; starts the one that was wanted meanwhile. */
  arrived(): void {
    this.#outstanding = null;
    const next = this.#next;
    this.#next = null;
    if (next !== null) this.want(next);
  }

  /** Forgets everything: the film was changed or closed. */
  clear(): void {
    this.#outstanding = null;
    this.#next = null;
  }
}
