/**
 * A testing day that is being run, as every part of it sees it: the lab's view, asked again whenever something changed
 * by itself (a file came in) or by a person, and the acts that change it.
 */
import { untrack } from 'svelte';
import type { LabError } from '../../core/base/refusal.ts';
import type { DeckAct } from '../../core/deck/deck.ts';
import type { DeckView } from '../../core/contract/deck.ts';
import type { WatchView } from '../../core/deck/views.ts';
import type { Outcome } from '../../core/base/refusal.ts';
import { changes } from '../changes.svelte.ts';
import { Loaded } from '../loaded.svelte.ts';
import type { Desk } from '../desk.svelte.ts';

const PULSE_EVERY_MS = 1000;

export class DeckDesk {
  readonly #desk: Desk;
  readonly id: number;
  readonly loaded = new Loaded<DeckView>();
  #watch = $state.raw<WatchView | null>(null);
  #problem = $state.raw<LabError | null>(null);
  #nowMs = $state(Date.now());

  /** To be made while a component is set up: it asks and follows for as long as that is shown. */
  constructor(desk: Desk, id: number) {
    this.#desk = desk;
    this.id = id;
    $effect(() => {
      void changes.version;
      untrack(() => void this.load());
    });
    $effect(() => {
      const clock = setInterval(() => (this.#nowMs = Date.now()), 500);
      const pulse = setInterval(() => void this.#follow(), PULSE_EVERY_MS);
      return () => {
        clearInterval(clock);
        clearInterval(pulse);
      };
    });
  }

  get client(): Desk['client'] {
    return this.#desk.client;
  }

  get desk(): Desk {
    return this.#desk;
  }

  get value(): DeckView | null {
    return this.loaded.value;
  }

  /** The watched folder as it is now; what is on its way in changes faster than the rest. */
  get watch(): WatchView | null {
    return this.#watch ?? this.value?.watch ?? null;
  }

  /** Now, for timers that count down; moves twice a second. */
  get nowMs(): number {
    return this.#nowMs;
  }

  /** Why the latest act was not taken. */
  get problem(): LabError | null {
    return this.#problem;
  }

  forgetProblem(): void {
    this.#problem = null;
  }

  load(): Promise<boolean> {
    return this.loaded.take(this.client('deck.get', { day: this.id }));
  }

  /** Takes an act of a person to the lab; `says` is told once it is kept. True where the lab took it. */
  async act(act: DeckAct, says: string): Promise<boolean> {
    return this.take(this.client('deck.act', { day: this.id, act }), says);
  }

  /** Takes an answer that is the day's new view. */
  async take(answer: Promise<Outcome<DeckView, LabError>>, says: string): Promise<boolean> {
    const outcome = await answer;
    this.#problem = outcome.ok ? null : outcome.error;
    if (!outcome.ok) return false;
    await this.loaded.take(Promise.resolve(outcome));
    this.#watch = outcome.value.watch;
    this.#desk.say(says);
    return true;
  }

  async #follow(): Promise<void> {
    const pulse = await this.client('deck.pulse', { day: this.id });
    if (!pulse.ok) return;
    this.#watch = pulse.value.watch;
    if (this.value !== null && pulse.value.version !== this.value.version) await this.load();
  }
}
