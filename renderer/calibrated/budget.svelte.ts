/** The uncertainty budget of one trial: for which hand and force it is asked, and what came. */
import type { BudgetView } from '../../core/contract/bench.ts';
import type { LabClient } from '../../core/contract/contract.ts';
import type { Hand } from '../../core/base/hand.ts';
import type { TrialView } from '../../core/contract/views.ts';
import { Loaded } from '../loaded.svelte.ts';
import { typedNumber } from '../fields/numberfield.ts';

export class BudgetDesk {
  readonly #client: LabClient;
  readonly #view: () => TrialView;
  readonly loaded = new Loaded<BudgetView>();
  #hand = $state<Hand>('left');
  /** The force as typed; null while it is the hand's mean peak. */
  #typed = $state<string | null>(null);

  /** @param view the trial; read where it may change */
  constructor(client: LabClient, view: () => TrialView) {
    this.#client = client;
    this.#view = view;
  }

  get hand(): Hand {
    return this.#hand;
  }

  /** The force in its field. */
  get force(): string {
    return this.#typed ?? this.#view().result.hands[this.#hand].peakForce?.value.toFixed(1) ?? '';
  }

  readonly forceN = $derived.by(() => typedNumber(this.force, 'positive'));
  /** The answer for what is asked now; null while it is awaited. */
  readonly shown = $derived.by(() => {
    const budget = this.loaded.value;
    return budget !== null && budget.hand === this.#hand && budget.forceN === this.forceN ? budget : null;
  });

  choose(hand: Hand): void {
    this.#hand = hand;
    this.#typed = null;
    this.ask();
  }

  type(force: string): void {
    this.#typed = force;
    this.ask();
  }

  /** Asks the lab for the budget of what is chosen. */
  ask(): void {
    if (this.forceN === null) return;
    const { dayId: day, trial } = this.#view();
    void this.loaded.take(
      this.#client('trials.budget', { day, trial, hand: this.#hand, forceN: this.forceN }),
    );
  }
}
