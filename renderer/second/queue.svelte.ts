/** The trials to mark of a day: how they are shared out, and how far each rater is. */
import { isCode } from '../../core/base/table.ts';
import type { QueueTrial, QueueView } from '../../core/contract/queue.ts';
import { DayPart } from '../calibrated/daypart.svelte.ts';
import type { Desk } from '../desk.svelte.ts';
import { typedNumber } from '../fields/numberfield.ts';
import { counted } from '../format.ts';
import { freshSeed } from './seed.ts';

/** Marked twice until a lab says otherwise, % (common practice, no source). */
const FIRST_SHARE = '20';

export interface RaterRow {
  readonly rater: string;
  readonly first: number;
  readonly firstDone: number;
  readonly second: number;
  readonly secondDone: number;
  /** Trials whose second marking by this rater is not begun yet. */
  readonly toOpen: readonly QueueTrial[];
}

export class QueueDesk {
  readonly part: DayPart<QueueView>;
  #raters = $state<string | null>(null);
  #share = $state<string | null>(null);
  seed = $state(freshSeed());
  #busy = $state(false);

  readonly codes = $derived.by(() => this.raters.split(/[\s,;]+/).filter((code) => code !== ''));
  readonly sharePct = $derived.by(() => typedNumber(this.share, 'notNegative'));
  /** What is wrong with the raters; null while it is well. */
  readonly ratersFault = $derived.by(() => {
    const bad = this.codes.find((code) => !isCode(code));
    return bad === undefined ? null : `“${bad}” is no code: A–Z a–z 0–9 _ . - and no spaces.`;
  });
  readonly canDraw = $derived.by(
    () =>
      this.codes.length > 0 &&
      this.ratersFault === null &&
      this.sharePct !== null &&
      this.seed.trim() !== '' &&
      !this.#busy,
  );
  readonly rows = $derived.by((): readonly RaterRow[] => {
    const queue = this.part.value?.queue ?? null;
    return (queue?.raters ?? []).map((rater) => {
      const first = queue!.trials.filter((one) => one.rater === rater);
      const second = queue!.trials.filter((one) => one.second === rater);
      return {
        rater,
        first: first.length,
        firstDone: first.filter(({ state }) => state === 'done').length,
        second: second.length,
        secondDone: second.filter(({ secondState }) => secondState === 'done').length,
        toOpen: second.filter(({ isOpened }) => !isOpened),
      };
    });
  });

  constructor(desk: Desk, day: number) {
    this.part = new DayPart(desk, day, () => desk.client('queue.get', { day }));
  }

  /** Codes as typed: those that share now, else that of the person at work. */
  get raters(): string {
    const value = this.part.value;
    return this.#raters ?? value?.queue?.raters.join(', ') ?? value?.operator ?? '';
  }

  set raters(text: string) {
    this.#raters = text;
  }

  get share(): string {
    return this.#share ?? this.part.value?.queue?.sharePct.toString() ?? FIRST_SHARE;
  }

  set share(text: string) {
    this.#share = text;
  }

  async draw(): Promise<void> {
    const { sharePct } = this;
    if (!this.canDraw || sharePct === null) return;
    this.#busy = true;
    const seed = this.seed.trim();
    const seen = this.part.value?.queue?.seed ?? null;
    const { day } = this.part;
    const answer = this.part.client('queue.draw', { day, raters: this.codes, sharePct, seed, seen });
    const open = this.part.value?.open.length ?? 0;
    await this.part.change(answer, `${counted(open, 'trial')} shared out, drawn from “${seed}”.`);
    this.#busy = false;
    if (this.part.problem === null) this.seed = freshSeed();
  }

  /** Begins a rater's second markings as a second opinion. */
  async open({ rater, toOpen }: RaterRow): Promise<void> {
    const queue = this.part.value?.queue;
    if (queue == null) return;
    const answer = this.part.client('blind.start', {
      day: this.part.day,
      rater,
      seed: queue.seed,
      trials: toOpen.map(({ trial }) => trial),
    });
    await this.part.change(answer, `Second opinion by ${rater} begun.`);
  }
}
