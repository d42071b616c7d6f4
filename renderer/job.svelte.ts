/** Long work of the lab, followed until it ends: its progress, its error, and a way to stop it. */
import type { LabClient } from '../core/contract/contract.ts';
import type { LabError } from '../core/base/refusal.ts';
import type { Outcome } from '../core/base/refusal.ts';
import type { JobView } from '../core/contract/views.ts';

const ASK_EVERY_MS = 200;

export class JobRun {
  readonly #client: LabClient;
  readonly #onDone: (day: number) => void;
  #job = $state.raw<JobView | null>(null);
  #problem = $state.raw<LabError | null>(null);
  #timer: ReturnType<typeof setTimeout> | undefined;
  #left = false;

  constructor(client: LabClient, onDone: (day: number) => void) {
    this.#client = client;
    this.#onDone = onDone;
  }

  /** The work under way or just ended; null before any. */
  get job(): JobView | null {
    return this.#job;
  }

  get running(): boolean {
    return this.#job?.state === 'running';
  }

  /** Why the work could not be started or ended badly. */
  get problem(): LabError | null {
    return this.#problem;
  }

  /** Follows work that the lab was asked to start. Returns whether it did start. */
  async follow(started: Promise<Outcome<JobView, LabError>>): Promise<boolean> {
    this.#problem = null;
    const outcome = await started;
    this.#take(outcome);
    return outcome.ok;
  }

  async cancel(): Promise<void> {
    if (this.#job === null) return;
    clearTimeout(this.#timer);
    this.#take(await this.#client('jobs.cancel', { job: this.#job.job }));
  }

  /** Puts the outcome away once it has been read. */
  dismiss(): void {
    this.#job = null;
    this.#problem = null;
  }

  /** Stops asking; the work itself goes on. */
  leave(): void {
    this.#left = true;
    clearTimeout(this.#timer);
  }

  #take(outcome: Outcome<JobView, LabError>): void {
    if (this.#left) return;
    clearTimeout(this.#timer);
    if (!outcome.ok) {
      this.#job = null;
      this.#problem = outcome.error;
      return;
    }
    const { job, state, error, day } = outcome.value;
    this.#job = outcome.value;
    this.#problem = state === 'failed' ? error : null;
    if (state === 'running') this.#timer = setTimeout(() => void this.#ask(job), ASK_EVERY_MS);
    if (state === 'done' && day !== null) this.#onDone(day);
  }

  async #ask(job: number): Promise<void> {
    this.#take(await this.#client('jobs.get', { job }));
  }
}
