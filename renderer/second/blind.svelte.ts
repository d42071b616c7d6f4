/** One item of a second opinion: the trial without whose it is, and this rater's own marks. */
import { untrack } from 'svelte';
import type { LabError } from '../../core/base/refusal.ts';
import type { BlindSession, BlindTrial } from '../../core/contract/review.ts';
import type { JudgementRow, MarkRow } from '../../core/marking/words.ts';
import type { Outcome } from '../../core/base/refusal.ts';
import { namesNobody, veiled } from '../../core/deck/veil.ts';
import type { TrialView } from '../../core/contract/views.ts';
import { changes } from '../changes.svelte.ts';
import { keys } from '../keys.svelte.ts';
import { Loaded } from '../loaded.svelte.ts';
import { filmKeys } from '../review/filmtools/filmkeys.ts';
import type { Keeper } from '../review/marking/edits.svelte.ts';
import { Marking } from '../review/marking/marking.svelte.ts';
import { markKeys } from '../review/marking/markkeys.ts';
import { reviewKeys } from '../review/reviewkeys.ts';
import { fetchSamples } from '../review/samples.ts';
import { TrialReview } from '../review/trialreview.svelte.ts';
import { hashOf } from '../route.ts';
import type { Desk } from '../desk.svelte.ts';

interface Place {
  readonly day: number;
  readonly session: number;
  readonly item: number;
}

interface Opened {
  readonly review: TrialReview;
  readonly marking: Marking;
}

export class BlindDesk {
  readonly #desk: Desk;
  readonly #place: Place;
  readonly #trial = new Loaded<BlindTrial>();
  readonly #sessions = new Loaded<readonly BlindSession[]>();
  #opened = $state.raw<Opened | null>(null);
  #samplesFault = $state<string | null>(null);
  readonly #fetching = new AbortController();

  readonly session = $derived.by(
    () => this.#sessions.value?.find(({ id }) => id === this.#place.session) ?? null,
  );
  readonly label = $derived.by(
    () =>
      this.session?.items.find(({ item }) => item === this.#place.item)?.label ?? `Item ${this.#place.item}`,
  );

  constructor(desk: Desk, place: Place) {
    this.#desk = desk;
    this.#place = place;
    $effect(() => {
      void changes.version;
      untrack(() => void this.#ask());
    });
    $effect(() => {
      const opened = this.#opened;
      if (opened === null) return;
      const actions = [
        ...reviewKeys(opened.review, () => undefined).filter(({ id }) => !id.startsWith('review.trial-')),
        ...filmKeys(opened.review),
        ...markKeys(opened.marking),
      ];
      const undo = untrack(() => actions.map((action) => keys.register(action)));
      return () => undo.forEach((unregister) => unregister());
    });
    $effect(() => () => {
      this.#fetching.abort();
      this.#opened?.review.close();
    });
  }

  get opened(): Opened | null {
    return this.#opened;
  }

  get problem(): LabError | null {
    return this.#trial.problem ?? this.#sessions.problem;
  }

  get samplesFault(): string | null {
    return this.#samplesFault;
  }

  /** The item before (−1) or after (1) this one; null where there is none. */
  neighbour(direction: 1 | -1): number | null {
    const items = this.session?.items ?? [];
    const at = items.findIndex(({ item }) => item === this.#place.item);
    return at < 0 ? null : (items[at + direction]?.item ?? null);
  }

  goTo(item: number | null): void {
    const { day, session } = this.#place;
    if (item !== null) this.#desk.go(hashOf({ screen: 'blind', day, session, item }));
  }

  async #ask(): Promise<void> {
    const { day, session, item } = this.#place;
    void this.#sessions.take(this.#desk.client('blind.list', { day }));
    if (!(await this.#trial.take(this.#desk.client('blind.get', { session, item })))) return;
    const view = asTrial(this.#trial.value!);
    if (this.#opened !== null) {
      this.#opened.review.renew(view);
      return;
    }
    const review = new TrialReview(view);
    const marking = new Marking(review, this.#keeper());
    if (!marking.on) marking.toggle();
    review.marking = marking;
    this.#opened = { review, marking };
    const { samples, fault } = await fetchSamples(view, this.#fetching.signal);
    review.samples = samples;
    this.#samplesFault = fault;
  }

  #keeper(): Keeper {
    const { session, item } = this.#place;
    const { client } = this.#desk;
    const asView = async (answer: Promise<Outcome<BlindTrial, LabError>>) => {
      const outcome = await answer;
      if (!outcome.ok) return outcome;
      // How many marks each item has stands in the list.
      void this.#sessions.take(client('blind.list', { day: this.#place.day }));
      return { ok: true as const, value: asTrial(outcome.value) };
    };
    return {
      marks: (seen: readonly MarkRow[], now: readonly MarkRow[], says: string) =>
        asView(client('blind.marks', { session, item, seen: [...seen], now: [...now], says })),
      judgements: (seen: readonly JudgementRow[], now: readonly JudgementRow[], says: string) =>
        asView(client('blind.judge', { session, item, seen: [...seen], now: [...now], says })),
      section: null,
      fresh: () => asView(client('blind.get', { session, item })),
    };
  }
}

/** The item as the trial screen's parts take one; what would tell whose it is stays empty. */
function asTrial(blind: BlindTrial): TrialView {
  return {
    ...blind,
    // A token names nobody.
    trial: veiled(namesNobody, blind.trial),
    participant: veiled(namesNobody, ''),
    condition: null,
    attempt: null,
    status: 'recorded',
    inputs: [],
    evidence: [],
    reportedWhy: null,
    previousTrial: null,
    nextTrial: null,
    nextUnmarked: null,
  };
}
