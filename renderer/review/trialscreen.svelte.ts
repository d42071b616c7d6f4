/** The trial screen's state: asks the lab for the trial and its samples, carries decisions, and keeps the keys. */
import { untrack } from 'svelte';
import type { LabClient } from '../../core/contract/contract.ts';
import type { LabError } from '../../core/base/refusal.ts';
import type { TrialStatus, TrialView } from '../../core/contract/views.ts';
import { changes } from '../changes.svelte.ts';
import { keys, type KeyAction } from '../keys.svelte.ts';
import { Loaded } from '../loaded.svelte.ts';
import { hashOf } from '../route.ts';
import { BesideDesk } from './beside/beside.svelte.ts';
import { filmKeys } from './filmtools/filmkeys.ts';
import { labKeeper } from './marking/labkeeper.ts';
import { markKeys } from './marking/markkeys.ts';
import { Marking } from './marking/marking.svelte.ts';
import { reviewKeys } from './reviewkeys.ts';
import { fetchSamples } from './samples.ts';
import { TrialReview } from './trialreview.svelte.ts';

/** What the screen is asked to show. */
export interface Asked {
  readonly client: LabClient;
  readonly day: number;
  readonly trial: string;
  readonly navigate: (hash: string) => void;
}

export class TrialScreenState {
  readonly #asked: () => Asked;
  readonly #loaded = new Loaded<TrialView>();
  #review = $state.raw<TrialReview | null>(null);
  /** What of the samples could not be had. */
  #samplesFault = $state<string | null>(null);
  #decisionProblem = $state.raw<LabError | null>(null);
  /** Said politely to those who do not see the screen. */
  #said = $state('');
  #fetching: AbortController | null = null;

  /** @param asked what to show; read where it may change */
  constructor(asked: () => Asked) {
    this.#asked = asked;
    $effect(() => {
      const { client, day, trial } = asked();
      void changes.version;
      untrack(() => void this.#ask(client, day, trial));
    });
    $effect(() => {
      const review = this.#review;
      if (review === null) return;
      const { marking } = review;
      const actions = [
        ...reviewKeys(review, (trial) => this.goTo(trial)),
        ...filmKeys(review),
        ...(marking === null ? [] : markKeys(marking)),
      ];
      const inTurn = ({ run, ...action }: KeyAction): KeyAction => ({
        ...action,
        run: (event) => review.turns.take(() => run(event)),
      });
      const undo = untrack(() => actions.map((action) => keys.register(inTurn(action))));
      return () => undo.forEach((unregister) => unregister());
    });
    $effect(() => () => this.#close());
  }

  get review(): TrialReview | null {
    return this.#review;
  }

  get problem(): LabError | null {
    return this.#loaded.problem;
  }

  get samplesFault(): string | null {
    return this.#samplesFault;
  }

  get decisionProblem(): LabError | null {
    return this.#decisionProblem;
  }

  get said(): string {
    return this.#said;
  }

  goTo(trial: string | null): void {
    const { day, navigate } = this.#asked();
    if (trial !== null) navigate(hashOf({ screen: 'trial', day, trial }));
  }

  /** Accepts, excludes or takes back a decision; true where it was recorded. */
  async decide(status: TrialStatus, reason: string): Promise<boolean> {
    const { client, day, trial } = this.#asked();
    const seen = this.#review?.view.status ?? 'recorded';
    const outcome = await client('trials.decide', { day, trial, seen, status, reason });
    this.#decisionProblem = outcome.ok ? null : outcome.error;
    if (!outcome.ok) return false;
    if (this.#isShown(outcome.value)) this.#review!.renew(outcome.value);
    this.#said = `Trial ${outcome.value.trial} is ${outcome.value.status}.`;
    changes.announce();
    return true;
  }

  async #ask(client: LabClient, day: number, trial: string): Promise<void> {
    if (!(await this.#loaded.take(client('trials.get', { day, trial })))) return;
    const view = this.#loaded.value!;
    const before = this.#isShown(view) ? this.#review : null;
    if (before !== null && JSON.stringify(before.view.inputs) === JSON.stringify(view.inputs)) {
      before.renew(view);
      return;
    }
    this.#close();
    this.#decisionProblem = null;
    const review = new TrialReview(view);
    review.marking = new Marking(review, labKeeper(client, day, trial));
    review.beside = new BesideDesk(client, review);
    this.#review = review;
    if (before !== null) review.playback.moveTo(before.cursorS);
    await this.#fetch(view);
  }

  #isShown(view: TrialView): boolean {
    const shown = this.#review?.view;
    return shown?.dayId === view.dayId && shown.trial === view.trial;
  }

  async #fetch(view: TrialView): Promise<void> {
    this.#fetching?.abort();
    const fetching = new AbortController();
    this.#fetching = fetching;
    this.#samplesFault = null;
    try {
      const { samples, fault } = await fetchSamples(view, fetching.signal);
      if (!fetching.signal.aborted) {
        this.#review!.samples = samples;
        this.#samplesFault = fault;
      }
    } catch (error) {
      if (!fetching.signal.aborted) throw error;
    }
  }

  #close(): void {
    this.#fetching?.abort();
    this.#review?.close();
  }
}
