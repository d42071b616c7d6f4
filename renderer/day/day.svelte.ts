/** One testing day on the screen: its view, which trials are shown in which order, and decisions on them. */
import type { LabClient } from '../../core/contract/contract.ts';
import type { LabError } from '../../core/base/refusal.ts';
import type { DayView, TrialStatus, TrialSummary } from '../../core/contract/views.ts';
import { Loaded } from '../loaded.svelte.ts';
import { countVerdicts, decisionSentence, shownTrials, type Sorting, type VerdictFilter } from './trials.ts';

export class DayDesk {
  readonly #client: LabClient;
  readonly #id: number;
  readonly #say: (message: string) => void;
  readonly loaded = new Loaded<DayView>();
  /** The lab's own reasons for excluding a trial. */
  readonly reasons = new Loaded<readonly string[]>();
  filter = $state<VerdictFilter>('all');
  sorting = $state<Sorting>('swum');
  #problem = $state.raw<{ readonly trial: string; readonly error: LabError } | null>(null);

  constructor(client: LabClient, id: number, say: (message: string) => void) {
    this.#client = client;
    this.#id = id;
    this.#say = say;
  }

  readonly trials = $derived.by(() => this.loaded.value?.trials ?? []);
  readonly counts = $derived.by(() => countVerdicts(this.trials));
  readonly shown = $derived.by(() => shownTrials(this.trials, this.filter, this.sorting));

  /** Asks the lab for the day, first or again. Returns whether it came. */
  load(): Promise<boolean> {
    return this.loaded.take(this.#client('days.get', { day: this.#id }));
  }

  loadReasons(): Promise<boolean> {
    return this.reasons.take(this.#client('reasons.list', {}));
  }

  addReason(reason: string): Promise<boolean> {
    const reasons = [...(this.reasons.value ?? []), reason];
    return this.reasons.take(this.#client('reasons.save', { reasons }));
  }

  /** Why the latest decision on a trial was not taken. */
  problemOf(trial: string): LabError | null {
    return this.#problem?.trial === trial ? this.#problem.error : null;
  }

  /** Accepts a trial, excludes it with a reason, or takes it back to recorded. Returns whether the lab took it. */
  async decide({ trial, status: seen }: TrialSummary, status: TrialStatus, reason = ''): Promise<boolean> {
    this.#problem = null;
    const outcome = await this.#client('trials.decide', { day: this.#id, trial, seen, status, reason });
    if (!outcome.ok) {
      if (outcome.error.code === 'changed_meanwhile') await this.load();
      this.#problem = { trial, error: outcome.error };
      return false;
    }
    this.#say(decisionSentence(trial, status, reason));
    await this.load();
    return true;
  }
}
