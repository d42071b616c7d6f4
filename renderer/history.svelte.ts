/** Undo and redo of the day that is open, and of the bench: their state comes with every answer that knows it. */
import type { BenchView } from '../core/contract/bench.ts';
import {
  CONTRACT,
  type CallInput,
  type CallName,
  type CallResult,
  type LabClient,
} from '../core/contract/contract.ts';
import type { DeckView } from '../core/contract/deck.ts';
import type { BlindTrial } from '../core/contract/review.ts';
import type { DayView, TrialView } from '../core/contract/views.ts';
import { changes } from './changes.svelte.ts';
import { stepSentence, type Steps } from './steps.ts';

interface OpenDay {
  readonly id: number;
  readonly name: string;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
}

type Answer = Promise<CallResult<'history.undo'>>;

export class History {
  readonly #client: LabClient;
  readonly #say: (message: string) => void;
  #open = $state.raw<OpenDay | null>(null);
  #bench = $state.raw({ canUndo: false, canRedo: false });
  #turns = 0;

  constructor(client: LabClient, say: (message: string) => void) {
    this.#client = client;
    this.#say = say;
  }

  /** What is known of a day; null before the lab has told of it. */
  of(day: number): OpenDay | null {
    return this.#open?.id === day ? this.#open : null;
  }

  /** How many steps have been taken back or done again here. */
  get turns(): number {
    return this.#turns;
  }

  /**
   * Takes what an answer of the lab tells about its day or the sensors. One that was asked for before the latest turn,
   * at `asked`, tells of what is no longer.
   */
  observe<N extends CallName>(name: N, input: CallInput<N>, value: unknown, asked: number): void {
    const { tells, changesDay } = CONTRACT[name];
    if (tells !== null && asked !== this.#turns) return;
    if (tells === 'day') {
      const { id, day, canUndo, canRedo } = value as DayView | DeckView;
      this.#open = { id, name: day, canUndo, canRedo };
    } else if (tells === 'trial') {
      const { dayId, day, canUndo, canRedo } = value as TrialView | BlindTrial;
      this.#open = { id: dayId, name: day, canUndo, canRedo };
    } else if (tells === 'sensors') {
      const { canUndo, canRedo } = value as BenchView;
      this.#bench = { canUndo, canRedo };
    } else if (changesDay && 'day' in input && this.#open?.id === input.day) {
      // A new step can be undone, and nothing that was undone before it is in reach any more.
      this.#open = { ...this.#open, canUndo: true, canRedo: false };
    }
  }

  /** The steps of a day. */
  stepsOf(day: number): Steps {
    const open = this.of(day);
    return {
      canUndo: open?.canUndo ?? false,
      canRedo: open?.canRedo ?? false,
      undo: () => this.undo(day),
      redo: () => this.redo(day),
      label: 'Undo the latest decision of this day',
    };
  }

  /** The steps of the sensors and their calibrations. */
  get benchSteps(): Steps {
    return {
      ...this.#bench,
      undo: () => this.#tell('undo', null, this.#client('bench.undo', {})),
      redo: () => this.#tell('redo', null, this.#client('bench.redo', {})),
      label: 'Undo the latest change of the sensors',
    };
  }

  async undo(day: number): Promise<void> {
    await changes.settled();
    await this.#tell('undo', day, this.#client('history.undo', { day }));
  }

  async redo(day: number): Promise<void> {
    await changes.settled();
    await this.#tell('redo', day, this.#client('history.redo', { day }));
  }

  async #tell(turn: 'undo' | 'redo', day: number | null, answer: Answer): Promise<void> {
    const outcome = await answer;
    if (outcome.ok && outcome.value !== null) this.#turned(turn, day);
    this.#say(stepSentence(turn, outcome));
    if (outcome.ok && outcome.value !== null) changes.announce();
  }

  /** A step taken can be taken the other way at once: what the lab tells of the rest comes with its next answer. */
  #turned(turn: 'undo' | 'redo', day: number | null): void {
    this.#turns += 1;
    const other = turn === 'undo' ? { canRedo: true } : { canUndo: true };
    if (day === null) this.#bench = { ...this.#bench, ...other };
    else if (this.#open?.id === day) this.#open = { ...this.#open, ...other };
  }
}
