/** The agreement of a day's raters, and which rater's marks are reported for each trial that has several. */
import type { AgreementView } from '../../core/contract/review.ts';
import type { TrialMarking } from '../../core/marking/words.ts';
import { DayPart } from '../calibrated/daypart.svelte.ts';
import type { Desk } from '../desk.svelte.ts';

/** A trial that several raters marked. */
export interface RatedTrial {
  readonly trial: string;
  readonly reported: TrialMarking['rater'];
  readonly raters: TrialMarking['raters'];
  /** Why a person chose the reported rater; null where nobody did, empty where no reason was kept. */
  readonly why: string | null;
}

/** A choice that waits for its reason. */
interface Choosing {
  readonly rated: RatedTrial;
  readonly rater: string | null;
}

interface Seen {
  readonly agreement: AgreementView;
  readonly trials: readonly RatedTrial[];
}

export class AgreementDesk {
  readonly part: DayPart<Seen>;
  #pair = $state(0);
  #shown = $state<string | null>(null);
  #choosing = $state.raw<Choosing | null>(null);

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
        const { marking, reportedWhy } = view.value;
        trials.push({ trial, reported: marking.rater, raters: marking.raters, why: reportedWhy });
      }
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

  /** The choice that waits for its reason; null where none does. */
  get choosing(): Choosing | null {
    return this.#choosing;
  }

  /** Begins to choose a rater whose marks are to be reported; null lets all stand as it is. */
  choose(choosing: Choosing | null): void {
    this.#choosing = choosing;
    this.part.forgetProblem();
  }

  /** Reports the chosen rater's marks for the reason given; the others' stay beside them. True where the lab took it. */
  async adjudicate(reason: string): Promise<boolean> {
    if (this.#choosing === null) return false;
    const { rated, rater } = this.#choosing;
    const { trial, reported } = rated;
    const { day, client } = this.part;
    return this.part.change(
      client('marks.adjudicate', { day, trial, rater, seen: reported, reason }),
      `Trial ${trial}: the marks of ${raterWords(rater)} are reported.`,
    );
  }
}

/** A rater's code, or what stands for one that the file does not name. */
export function raterWords(rater: string | null): string {
  return rater ?? 'the rater without a code';
}
