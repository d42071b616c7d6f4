/** Acts of the preparation, each remembered with its part, so that what goes wrong is told beside what caused it. */
import type { LabError } from '../../../core/base/refusal.ts';
import type { DeckAct, DeckSwimmer } from '../../../core/deck/deck.ts';
import { changes } from '../../changes.svelte.ts';
import type { DeckDesk } from '../deckdesk.svelte.ts';
import type { PartName } from './parts.ts';

export class Preparation {
  readonly deck: DeckDesk;
  #turn: Promise<unknown> = Promise.resolve();
  #part = $state<PartName | 'setup' | null>(null);

  constructor(deck: DeckDesk) {
    this.deck = deck;
  }

  /** Takes an act to the lab; `says` is told once it is kept. True where the lab took it. */
  act(part: PartName | 'setup', act: DeckAct, says: string): Promise<boolean> {
    this.#part = part;
    const kept = this.deck.act(act, says);
    changes.hold(kept);
    return kept;
  }

  /**
   * Changes a swimmer as they are once every earlier change is kept: two quick taps on one line both count.
   * True where the lab took it.
   */
  change(participant: string, change: (now: DeckSwimmer) => DeckSwimmer, says: string): Promise<boolean> {
    const turn = this.#turn.then(() => {
      const now = this.deck.value?.plan.swimmers.find((one) => one.participant === participant);
      if (now === undefined) return false;
      return this.act('consent', { act: 'swimmer.change', participant, swimmer: change(now) }, says);
    });
    this.#turn = turn.catch(() => {});
    changes.hold(turn);
    return turn;
  }

  /** Watches a folder; null stops. True where the lab took it. */
  watch(path: string | null): Promise<boolean> {
    this.#part = 'watch';
    const says = path === null ? 'No folder is watched any more.' : `Watching ${path}.`;
    return this.deck.take(this.deck.client('deck.watch', { day: this.deck.id, path }), says);
  }

  /** Why the latest act was not taken, where it was one of this part. */
  problemOf(part: PartName): LabError | null {
    return this.#part === part ? this.deck.problem : null;
  }
}
