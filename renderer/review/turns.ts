/** What is asked for while a mark waits for its picture waits as well, in its order, so that no key is lost. */
export class Turns {
  readonly #waiting: (() => void)[] = [];
  #held = false;

  /** Does something now, or in its turn. */
  take(act: () => void): void {
    if (this.#held) this.#waiting.push(act);
    else act();
  }

  /** Lets all that is asked for from now on wait until something is over. */
  hold(over: Promise<void>): void {
    this.#held = true;
    void over.finally(() => {
      this.#held = false;
      while (!this.#held && this.#waiting.length > 0) this.#waiting.shift()!();
    });
  }
}
