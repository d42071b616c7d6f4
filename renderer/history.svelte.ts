/** Undo and redo of the day that is open, and of the bench: their state comes with every answer that knows it. */
import type { BenchView } from '../core/contract/bench.ts';
import type { CallName, CallResult, LabClient } from '../core/contract/contract.ts';
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

/** Calls that answer with a day's view, as it is read or as it is run. */
const TELL_OF_A_DAY: ReadonlySet<CallName> = new Set([
  'days.get',
  'deck.get',
  'deck.act',
  'deck.watch',
  'deck.file',
]);

/** Calls that answer with a trial's view, or with that of one marked blind. */
const TELL_OF_A_TRIAL: ReadonlySet<CallName> = new Set([
  'trials.get',
  'trials.decide',
  'marks.edit',
  'marks.judge',
  'marks.adjudicate',
  'clock.edit',
  'section.edit',
  'blind.get',
  'blind.marks',
  'blind.judge',
]);

export class History {
  readonly #client: LabClient;
  readonly #say: (message: string) => void;
  #open = $state.raw<OpenDay | null>(null);
  #bench = $state.raw({ canUndo: false, canRedo: false });

  constructor(client: LabClient, say: (message: string) => void) {
    this.#client = client;
    this.#say = say;
  }

  /** What is known of a day; null before the lab has told of it. */
  of(day: number): OpenDay | null {
    return this.#open?.id === day ? this.#open : null;
  }

  /** Takes what an answer of the lab tells about its day or the bench. */
  observe(name: CallName, value: unknown): void {
    if (TELL_OF_A_DAY.has(name)) {
      const { id, day, canUndo, canRedo } = value as DayView | DeckView;
      this.#open = { id, name: day, canUndo, canRedo };
    } else if (TELL_OF_A_TRIAL.has(name)) {
      const { dayId, day, canUndo, canRedo } = value as TrialView | BlindTrial;
      this.#open = { id: dayId, name: day, canUndo, canRedo };
    } else if (name === 'bench.get' || name === 'sensors.save' || name === 'bench.setLimits') {
      const { canUndo, canRedo } = value as BenchView;
      this.#bench = { canUndo, canRedo };
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
      undo: () => this.#tell('undo', this.#client('bench.undo', {})),
      redo: () => this.#tell('redo', this.#client('bench.redo', {})),
      label: 'Undo the latest change of the sensors',
    };
  }

  async undo(day: number): Promise<void> {
    await changes.settled();
    await this.#tell('undo', this.#client('history.undo', { day }));
  }

  async redo(day: number): Promise<void> {
    await changes.settled();
    await this.#tell('redo', this.#client('history.redo', { day }));
  }

  async #tell(turn: 'undo' | 'redo', answer: Answer): Promise<void> {
    const outcome = await answer;
    this.#say(stepSentence(turn, outcome));
    if (outcome.ok && outcome.value !== null) changes.announce();
  }
}
