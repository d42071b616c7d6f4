/** The agreement of a day's raters, and which rater's marks are reported for each trial that has several. */
import { tick } from 'svelte';
import type { AgreementView } from '../../core/contract/review.ts';
import type { TrialMarking } from '../../core/marking/words.ts';
import { DayPart } from '../calibrated/daypart.svelte.ts';
import type { Desk } from '../desk.svelte.ts';

/** A trial that several raters marked. */
export interface RatedTrial {
  readonly trial: string;
  readonly reported: TrialMarking['rater'];
  readonly raters: TrialMarking['raters'];
}

interface Seen {
  readonly agreement: AgreementView;
  readonly trials: readonly RatedTrial[];
}

export class AgreementDesk {
  readonly part: DayPart<Seen>;
  #pair = $state(0);
  #shown = $state<string | null>(null);
  /** The choice that is on its way to the lab, shown until the lab tells of the day anew. */
  #wished = $state.raw<{ readonly trial: string; readonly rater: string | null } | null>(null);

  readonly pair = $derived.by(() => this.part.value?.agreement.pairs[this.#pair] ?? null);
  /** The value whose plot is shown: the chosen one, else the first that has an agreement. */
  readonly value = $derived.by(() => {
    const values = this.pair?.values ?? [];
    return (
      values.find(({ name }) => name === this.#shown) ??
      values.find(({ agreement }) => agreement !== null) ??
      null
    );
  });

  constructor(desk: Desk, day: number) {
    this.part = new DayPart(desk, day, async () => {
      const agreement = await desk.client('agreement.get', { day });
      if (!agreement.ok) return agreement;
      const all = agreement.value.pairs.flatMap(({ trials }) => trials);
      const codes = all.filter((trial, index) => all.indexOf(trial) === index);
      const trials: RatedTrial[] = [];
      for (const trial of codes) {
        const view = await desk.client('trials.get', { day, trial });
        if (!view.ok) return view;
        const { rater, raters } = view.value.marking;
        trials.push({ trial, reported: rater, raters });
      }
      this.#wished = null;
      return { ok: true, value: { agreement: agreement.value, trials } };
    });
  }

  get pairIndex(): number {
    return this.#pair;
  }

  choosePair(index: number): void {
    this.#pair = index;
    this.#shown = null;
  }

  show(name: string): void {
    this.#shown = name;
  }

  /** The rater whose marks are reported for a trial. */
  reportedOf({ trial, reported }: RatedTrial): string | null {
    return this.#wished?.trial === trial ? this.#wished.rater : reported;
  }

  /** Reports a rater's marks for a trial; the others' stay beside them. */
  async adjudicate({ trial, reported }: RatedTrial, rater: string | null): Promise<void> {
    const { day, client } = this.part;
    this.#wished = { trial, rater };
    // The choice must have been on the screen to be taken back from it.
    await tick();
    const kept = await this.part.change(
      client('marks.adjudicate', { day, trial, rater, seen: reported }),
      `Trial ${trial}: the marks of ${raterWords(rater)} are reported.`,
    );
    if (!kept) this.#wished = null;
  }
}

/** A rater's code, or what stands for one that the file does not name. */
export function raterWords(rater: string | null): string {
  return rater ?? 'the rater without a code';
}
