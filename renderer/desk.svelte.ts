/** What the whole window knows: where it is, who is at work, what was last said, and undo of the open day. */
import { untrack } from 'svelte';
import type { AppView, BackupPlan, CallInput, CallName, LabClient } from '../core/contract/contract.ts';
import { Loaded } from './loaded.svelte.ts';
import { parseRoute, type Route } from './route.ts';
import { History } from './history.svelte.ts';
import type { Steps } from './steps.ts';

const BENCH_SCREENS: ReadonlySet<Route['screen']> = new Set(['sensors', 'sensor', 'calibrate']);

export class Desk {
  /** The lab's client, watched for what it tells of undo. */
  readonly client: LabClient;
  readonly history: History;
  readonly app = new Loaded<AppView>();
  #route = $state.raw<Route>(parseRoute(window.location.hash));
  #message = $state('');
  #fault = $state<string | null>(null);
  #lent = $state.raw<Steps | null>(null);
  #lastTrial: { readonly day: number; readonly trial: string } | null = null;

  constructor(lab: LabClient) {
    this.client = async <N extends CallName>(name: N, input: CallInput<N>) => {
      const asked = this.history.turns;
      const outcome = await lab(name, input);
      if (outcome.ok) this.history.observe(name, input, outcome.value, asked);
      return outcome;
    };
    this.history = new History(lab, this.say);
  }

  get route(): Route {
    return this.#route;
  }

  /** The day on the screen; null where none is. */
  get day(): number | null {
    return 'day' in this.#route ? this.#route.day : null;
  }

  /** What undo and redo step through here; null where there is nothing of the kind. */
  get steps(): Steps | null {
    const { day } = this;
    if (this.#lent !== null) return this.#lent;
    if (day !== null) return this.history.stepsOf(day);
    return BENCH_SCREENS.has(this.#route.screen) ? this.history.benchSteps : null;
  }

  /** Puts a screen's own steps in the bar while it is shown; the returned function takes them away. */
  lend(steps: Steps): () => void {
    untrack(() => (this.#lent = steps));
    return () => untrack(() => (this.#lent = null));
  }

  /** The latest status message. */
  get message(): string {
    return this.#message;
  }

  /** A mistake of the program itself; null while there is none. */
  get fault(): string | null {
    return this.#fault;
  }

  readonly say = (message: string): void => {
    this.#message = message;
  };

  readonly blame = (cause: unknown): void => {
    this.#fault = cause instanceof Error ? cause.message : String(cause);
  };

  readonly go = (hash: string): void => {
    window.location.hash = hash;
  };

  /** Follows the address. */
  readonly follow = (): void => {
    if (this.#route.screen === 'trial') this.#lastTrial = this.#route;
    this.#route = parseRoute(window.location.hash);
    this.#message = '';
  };

  /** The trial of a day that was looked at last. */
  lastTrialOf(day: number): string | null {
    const last = this.#lastTrial;
    return last !== null && last.day === day ? last.trial : null;
  }

  async describe(): Promise<void> {
    await this.app.take(this.client('app.describe', {}));
  }

  /** Takes note of a notice of the lab folder. Returns whether the lab took it. */
  async takeNote(note: string): Promise<boolean> {
    return this.app.take(this.client('lab.takeNote', { note }));
  }

  /** Says how often the lab folder is backed up by itself; null ends it. Returns whether the lab took it. */
  async planBackup(plan: BackupPlan | null): Promise<boolean> {
    return this.app.take(this.client('lab.planBackup', { plan }));
  }

  /** Sets who is at work. Returns whether the lab took it. */
  async setLabName(name: string): Promise<boolean> {
    return this.app.take(this.client('app.setLabName', { name }));
  }

  async setOperator(operator: string): Promise<boolean> {
    return this.app.take(this.client('app.setOperator', { operator }));
  }
}
