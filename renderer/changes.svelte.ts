/**
 * Tells whoever shows a day or a trial that a decision was taken, undone or redone elsewhere on the screen: read
 * `changes.version` in an `$effect` and ask the lab again.
 */
import { untrack } from 'svelte';

class Changes {
  #version = $state(0);

  get version(): number {
    return this.#version;
  }

  announce(): void {
    untrack(() => (this.#version += 1));
  }
}

export const changes = new Changes();
