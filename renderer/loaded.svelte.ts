/** Something asked of the lab: what came, or why it did not. A later question's answer is never overtaken by an earlier one's. */
import type { LabError } from '../core/base/refusal.ts';
import type { Outcome } from '../core/base/refusal.ts';

export class Loaded<T> {
  #value = $state.raw<T | null>(null);
  #problem = $state.raw<LabError | null>(null);
  #latest = 0;

  /** The latest answer; it stays while a newer one is awaited. */
  get value(): T | null {
    return this.#value;
  }

  /** Why the latest question has no answer. */
  get problem(): LabError | null {
    return this.#problem;
  }

  /** Waits for an answer; true where it is the latest and a good one. */
  async take(answer: Promise<Outcome<T, LabError>>): Promise<boolean> {
    const turn = ++this.#latest;
    const outcome = await answer;
    if (turn !== this.#latest) return false;
    this.#problem = outcome.ok ? null : outcome.error;
    if (outcome.ok) this.#value = outcome.value;
    return outcome.ok;
  }
}
