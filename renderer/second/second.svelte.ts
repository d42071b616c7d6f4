/** The second opinions of a day: what was begun and how far it is, and beginning another. */
import type { BlindSession } from '../../core/contract/review.ts';
import { isCode } from '../../core/base/table.ts';
import type { DayView, TrialSummary } from '../../core/contract/views.ts';
import { DayPart } from '../calibrated/daypart.svelte.ts';
import { freshSeed } from './seed.ts';
import { hashOf } from '../route.ts';
import type { Desk } from '../desk.svelte.ts';

export interface SecondView {
  readonly day: DayView;
  readonly sessions: readonly BlindSession[];
}

export class SecondDesk {
  readonly part: DayPart<SecondView>;
  readonly #desk: Desk;
  /** Code of the second rater, as typed. */
  rater = $state('');
  seed = $state(freshSeed());
  /** Trials taken out of or into the choice by a person. */
  #chosen = $state.raw<readonly string[] | null>(null);
  #busy = $state(false);

  readonly trials = $derived.by(() => (this.part.value?.day.trials ?? []).filter(canBeMarked));
  /** Chosen by a person, else every trial that is not excluded. */
  readonly chosen = $derived.by(
    () => this.#chosen ?? this.trials.filter(({ status }) => status !== 'excluded').map(({ trial }) => trial),
  );
  /** What is wrong with the rater's code; null while it is well or not typed yet. */
  readonly raterFault = $derived.by(() =>
    this.rater === '' || isCode(this.rater)
      ? null
      : 'A code takes 1 to 64 of the characters A–Z a–z 0–9 _ . - and no spaces.',
  );
  readonly canStart = $derived.by(
    () => isCode(this.rater) && this.seed.trim() !== '' && this.chosen.length > 0 && !this.#busy,
  );

  constructor(desk: Desk, day: number) {
    this.#desk = desk;
    this.part = new DayPart(desk, day, async () => {
      const [view, sessions] = await Promise.all([
        desk.client('days.get', { day }),
        desk.client('blind.list', { day }),
      ]);
      if (!view.ok) return view;
      return sessions.ok ? { ok: true, value: { day: view.value, sessions: sessions.value } } : sessions;
    });
  }

  takes(trial: string): boolean {
    return this.chosen.includes(trial);
  }

  take(trial: string, on: boolean): void {
    const others = this.chosen.filter((other) => other !== trial);
    this.#chosen = on ? [...others, trial] : others;
  }

  takeAll(on: boolean): void {
    this.#chosen = on ? this.trials.map(({ trial }) => trial) : [];
  }

  drawSeed(): void {
    this.seed = freshSeed();
  }

  async start(): Promise<void> {
    if (!this.canStart) return;
    this.#busy = true;
    const { rater, chosen } = this;
    const trials = this.trials.map(({ trial }) => trial).filter((trial) => chosen.includes(trial));
    const answer = this.part.client('blind.start', {
      day: this.part.day,
      rater,
      seed: this.seed.trim(),
      trials,
    });
    const done = await this.part.change(answer, `Second opinion by ${rater} begun.`);
    this.#busy = false;
    if (!done) return;
    this.rater = '';
    this.seed = freshSeed();
  }

  async close(session: BlindSession): Promise<boolean> {
    return this.part.change(
      this.part.client('blind.close', { session: session.id }),
      `Second opinion by ${session.rater} is done.`,
    );
  }

  /** Opens the first item of a session without marks, else its first. */
  open({ id, items }: BlindSession): void {
    const next = items.find(({ marks }) => marks === 0) ?? items[0];
    if (next !== undefined)
      this.#desk.go(hashOf({ screen: 'blind', day: this.part.day, session: id, item: next.item }));
  }
}

function canBeMarked({ hasFilm, hasTrace }: TrialSummary): boolean {
  return hasFilm || hasTrace;
}
