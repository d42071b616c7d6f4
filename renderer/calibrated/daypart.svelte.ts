/**
 * A part of a day beside its trials (zeros, hand areas, calibration): what the lab says of it, asked again whenever a
 * decision is taken, undone or redone. The day itself is asked too, for its name and what can be undone.
 */
import { untrack } from 'svelte';
import type { LabError } from '../../core/base/refusal.ts';
import type { Outcome } from '../../core/base/refusal.ts';
import { changes } from '../changes.svelte.ts';
import { Loaded } from '../loaded.svelte.ts';
import type { Desk } from '../desk.svelte.ts';

export class DayPart<T> {
  readonly #desk: Desk;
  readonly #day: number;
  readonly loaded = new Loaded<T>();
  #problem = $state.raw<LabError | null>(null);

  /** @param ask asks the lab for the part */
  constructor(desk: Desk, day: number, ask: () => Promise<Outcome<T, LabError>>) {
    this.#desk = desk;
    this.#day = day;
    $effect(() => {
      void changes.version;
      // What is shown can be undone: both answers are awaited.
      const both = async () => (await Promise.all([ask(), desk.client('days.get', { day })]))[0];
      untrack(() => void this.loaded.take(both()));
    });
  }

  get client(): Desk['client'] {
    return this.#desk.client;
  }

  get day(): number {
    return this.#day;
  }

  get value(): T | null {
    return this.loaded.value;
  }

  /** Why the latest change was not taken. */
  get problem(): LabError | null {
    return this.#problem;
  }

  forgetProblem(): void {
    this.#problem = null;
  }

  /** Waits for a change; says what was done and lets every screen ask again. True where the lab took it. */
  async change(answer: Promise<Outcome<unknown, LabError>>, says: string): Promise<boolean> {
    const outcome = await answer;
    this.#problem = outcome.ok ? null : outcome.error;
    if (!outcome.ok) return false;
    this.#desk.say(says);
    changes.announce();
    return true;
  }
}
