/** Long work that a screen follows and can stop. */
import { sayBug } from './saybug.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { bugSaid, failed, type Outcome } from '../../../core/base/refusal.ts';
import type { JobView } from '../../../core/contract/views.ts';

/** How a job tells how far it is, and learns that it is to stop. */
export interface Progress {
  readonly signal: AbortSignal;
  readonly total: (steps: number) => void;
  readonly step: () => void;
  /** Which share of the step under way is done, 0 to 1. */
  readonly share: (share: number) => void;
}

/** What came of a job: the day it opened, where it opened one, and a sentence, where there is something to tell. */
export interface Done {
  readonly day: number | null;
  readonly says: string;
}

type Work = (progress: Progress) => Promise<Outcome<Done, LabError>>;

const CANCELLED: LabError = {
  code: 'cancelled',
  says: 'This was cancelled before it was done.',
  todo: 'Nothing was changed; begin it again when you like.',
};

/** A step that is not told as done is not shown as done. */
const ALMOST = 0.999;

/** Told of a fault of the program; it is said to the person as the job's error all the same. */
type OnBug = (error: unknown) => void;

export class Jobs {
  private readonly onBug: OnBug;
  private readonly views = new Map<number, JobView>();
  private readonly stops = new Map<number, AbortController>();
  private readonly running = new Set<Promise<void>>();
  private last = 0;

  constructor(onBug: OnBug = sayBug) {
    this.onBug = onBug;
  }

  /** Starts work; `what` tells the person which. */
  start(what: string, work: Work): JobView {
    const job = ++this.last;
    const stop = new AbortController();
    this.stops.set(job, stop);
    this.views.set(job, { job, what, state: 'running', done: 0, total: 1, day: null, says: '', error: null });
    const running = this.run(job, stop.signal, work).finally(() => this.running.delete(running));
    this.running.add(running);
    return this.views.get(job)!;
  }

  get(job: number): JobView | null {
    return this.views.get(job) ?? null;
  }

  cancel(job: number): JobView | null {
    this.stops.get(job)?.abort();
    return this.get(job);
  }

  /** Stops everything and waits until it has stopped. */
  async close(): Promise<void> {
    for (const stop of this.stops.values()) stop.abort();
    await Promise.all(this.running);
  }

  private async run(job: number, signal: AbortSignal, work: Work): Promise<void> {
    const change = (part: Partial<JobView>) => this.views.set(job, { ...this.views.get(job)!, ...part });
    const whole = () => Math.floor(this.views.get(job)!.done);
    const progress: Progress = {
      signal,
      total: (total) => change({ total }),
      step: () => change({ done: whole() + 1 }),
      share: (share) => change({ done: whole() + Math.min(share, ALMOST) }),
    };
    let outcome: Outcome<Done, LabError>;
    try {
      outcome = await work(progress);
    } catch (error) {
      if (!signal.aborted) this.onBug(error);
      outcome = failed(signal.aborted ? CANCELLED : bugSaid(error));
    }
    if (outcome.ok) change({ state: 'done', ...outcome.value });
    else change({ state: outcome.error.code === 'cancelled' ? 'cancelled' : 'failed', error: outcome.error });
    this.stops.delete(job);
  }
}
