/**
 * Tells whoever shows a day or a trial that a decision was taken, undone or redone elsewhere on the screen: read
 * `changes.version` in an `$effect` and ask the lab again. It also knows of edits that are still on their way to the
 * lab, so that undo steps back over the latest one and not over the one before it.
 */
import { untrack } from 'svelte';

class Changes {
  #version = $state(0);
  #onTheWay: Promise<unknown> = Promise.resolve();

  get version(): number {
    return this.#version;
  }

  announce(): void {
    untrack(() => (this.#version += 1));
  }

  /** Tells of edits that are on their way to the lab. */
  hold(edits: Promise<unknown>): void {
    this.#onTheWay = Promise.allSettled([this.#onTheWay, edits]);
  }

  /** Waits until no edit is on its way. */
  async settled(): Promise<void> {
    await this.#onTheWay;
  }
}

export const changes = new Changes();
