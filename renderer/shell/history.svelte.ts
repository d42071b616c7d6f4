/** Undo and redo of the day that is open: its state comes with every answer of the lab that knows it. */
import type { CallName, LabClient } from '../../core/contract.ts';
import type { DayView, TrialView } from '../../core/views.ts';
import { changes } from '../changes.svelte.ts';

interface OpenDay {
  readonly id: number;
  readonly name: string;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
}

export class History {
  readonly #client: LabClient;
  readonly #say: (message: string) => void;
  #open = $state.raw<OpenDay | null>(null);

  constructor(client: LabClient, say: (message: string) => void) {
    this.#client = client;
    this.#say = say;
  }

  /** What is known of a day; null before the lab has told of it. */
  of(day: number): OpenDay | null {
    return this.#open?.id === day ? this.#open : null;
  }

  /** Takes what an answer of the lab tells about its day. */
  observe(name: CallName, value: unknown): void {
    if (name === 'days.get') {
      const { id, day, canUndo, canRedo } = value as DayView;
      this.#open = { id, name: day, canUndo, canRedo };
    } else if (name === 'trials.get' || name === 'trials.decide') {
      const { dayId, day, canUndo, canRedo } = value as TrialView;
      this.#open = { id: dayId, name: day, canUndo, canRedo };
    }
  }

  async undo(day: number): Promise<void> {
    await this.#step(day, 'history.undo', 'Taken back', 'There is nothing to take back.');
  }

  async redo(day: number): Promise<void> {
    await this.#step(day, 'history.redo', 'Done again', 'There is nothing to do again.');
  }

  async #step(
    day: number,
    name: 'history.undo' | 'history.redo',
    did: string,
    nothing: string,
  ): Promise<void> {
    const outcome = await this.#client(name, { day });
    if (!outcome.ok) this.#say(`${outcome.error.says} ${outcome.error.todo}`);
    else if (outcome.value === null) this.#say(nothing);
    else {
      this.#say(`${did}: ${outcome.value.says}`);
      changes.announce();
    }
  }
}
