/**
 * Keeps what is being made as it grows: soon after each change, the latest in place of earlier ones, one after the
 * other. What could not be kept stays here and is sent again with the next change or when asked to.
 */
import type { LabError } from '../core/base/refusal.ts';
import type { Outcome } from '../core/base/refusal.ts';

const WAIT_MS = 250;

export class Saver<T> {
  readonly #send: (value: T) => Promise<Outcome<unknown, LabError>>;
  #pending: { readonly value: T } | null = null;
  #running: Promise<void> | null = null;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #problem = $state.raw<LabError | null>(null);
  #waiting = $state(false);

  constructor(send: (value: T) => Promise<Outcome<unknown, LabError>>) {
    this.#send = send;
  }

  /** Why the latest state is not kept; null where it is, or is about to be. */
  get problem(): LabError | null {
    return this.#problem;
  }

  /** True while the screen is ahead of what is kept. */
  get waiting(): boolean {
    return this.#waiting;
  }

  put(value: T): void {
    this.#pending = { value };
    this.#waiting = true;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.flush(), WAIT_MS);
  }

  /** Sends what waits, now. Returns whether everything is kept. */
  async flush(): Promise<boolean> {
    clearTimeout(this.#timer);
    while (this.#running !== null) await this.#running;
    if (this.#pending !== null) {
      const { value } = this.#pending;
      this.#pending = null;
      this.#running = this.#sendOne(value);
      try {
        await this.#running;
      } finally {
        this.#running = null;
      }
      if (this.#pending !== null && this.#problem === null) return this.flush();
    }
    this.#waiting = this.#pending !== null;
    return !this.#waiting;
  }

  async #sendOne(value: T): Promise<void> {
    const outcome = await this.#send(value);
    this.#problem = outcome.ok ? null : outcome.error;
    if (!outcome.ok) this.#pending ??= { value };
  }
}
