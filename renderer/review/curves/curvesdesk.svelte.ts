/** Which curves are shown, of which trials, and their way out as pictures and numbers. */
import type { AppView, LabClient } from '../../../core/contract/contract.ts';
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import type { CycleEvent } from '../../../core/stroke/curve.ts';
import type { EventName } from '../../../core/stroke/stroke.ts';
import type { DayView, TrialView } from '../../../core/contract/views.ts';
import { Loaded } from '../../loaded.svelte.ts';
import { fetchSamples, NO_SAMPLES, type Samples } from '../samples.ts';
import type { TrialReview } from '../trialreview.svelte.ts';
import { basisWarning } from './basis.ts';
import { cyclesOf } from './cycles.ts';
import { overlayOf } from './overlay.ts';
import { besideCsv, instant, meanCsv, strokesCsv, type Origin } from './numbers.ts';
import { besidePanels, meanPanels, strokePanels } from './wishes.ts';

export type CurveView = 'mean' | 'each' | 'beside';

interface Asked {
  readonly client: LabClient;
  readonly review: TrialReview;
}

export class CurvesDesk {
  readonly #asked: () => Asked;
  #what = $state<CurveView>('mean');
  event = $state<CycleEvent>('water_entry');
  hand = $state<Hand>('left');
  /** The event at which two trials are laid over one another. */
  alignedAt = $state<EventName>('propulsion_start');
  #ownStroke = $state<number | null>(null);
  #otherStroke = $state<number | null>(null);
  readonly day = new Loaded<DayView>();
  readonly other = new Loaded<TrialView>();
  readonly app = new Loaded<AppView>();
  #otherSamples = $state.raw<Samples>(NO_SAMPLES);
  #otherFault = $state<string | null>(null);
  #fetching: AbortController | null = null;

  readonly both = $derived.by(() => {
    const { view, samples } = this.#asked().review;
    const of = (hand: Hand) => cyclesOf(view, samples, hand, this.event);
    return { left: of('left'), right: of('right') };
  });
  readonly otherCycles = $derived.by(() =>
    this.other.value === null ? null : cyclesOf(this.other.value, this.#otherSamples, this.hand, this.event),
  );
  readonly ownStrokes = $derived.by(() => countedOf(this.#asked().review.view, this.hand));
  readonly otherStrokes = $derived.by(() =>
    this.other.value === null ? [] : countedOf(this.other.value, this.hand),
  );
  readonly overlay = $derived.by(() => {
    const { view, samples } = this.#asked().review;
    const [own, other] = [this.ownStroke, this.otherStroke];
    if (this.other.value === null || own === null || other === null) return null;
    return overlayOf(
      { view, samples, stroke: own },
      { view: this.other.value, samples: this.#otherSamples, stroke: other },
      this.hand,
      this.alignedAt,
    );
  });
  readonly names = $derived.by((): readonly [string, string] => [
    this.#asked().review.view.trial,
    this.other.value?.trial ?? '',
  ]);
  /** What is to be told where curves rest on propulsion read from different things; null where they do not. */
  readonly basisSays = $derived.by(() => {
    const of = ({ trial, result }: TrialView) => ({ trial, basis: result.propulsionBasis });
    const own = of(this.#asked().review.view);
    if (this.#what === 'beside') {
      const other = this.other.value;
      return other === null ? null : basisWarning(own, of(other));
    }
    return this.event === 'propulsion_start' ? basisWarning(own, null) : null;
  });
  readonly panels = $derived.by(() => {
    if (this.#what === 'mean') return meanPanels(this.both, this.event);
    if (this.#what === 'each') return strokePanels(this.both);
    if (this.other.value === null) return [];
    const means = [this.both[this.hand].mean, this.otherCycles?.mean ?? null] as const;
    return besidePanels(this.hand, this.names, means, this.event, this.overlay);
  });

  constructor(asked: () => Asked) {
    this.#asked = asked;
  }

  get what(): CurveView {
    return this.#what;
  }

  get otherFault(): string | null {
    return this.#otherFault;
  }

  /** The stroke of this trial that is laid over the other's: the chosen one, else the first that counts. */
  get ownStroke(): number | null {
    return held(this.#ownStroke, this.ownStrokes);
  }

  set ownStroke(stroke: number | null) {
    this.#ownStroke = stroke;
  }

  get otherStroke(): number | null {
    return held(this.#otherStroke, this.otherStrokes);
  }

  set otherStroke(stroke: number | null) {
    this.#otherStroke = stroke;
  }

  show(what: CurveView): void {
    this.#what = what;
    const { client, review } = this.#asked();
    if (what === 'beside' && this.day.value === null)
      void this.day.take(client('days.get', { day: review.view.dayId }));
  }

  /** Lays another trial of the day beside this one. */
  async choose(trial: string): Promise<void> {
    const { client, review } = this.#asked();
    this.#fetching?.abort();
    const fetching = new AbortController();
    this.#fetching = fetching;
    this.#otherSamples = NO_SAMPLES;
    this.#otherFault = null;
    this.#otherStroke = null;
    if (!(await this.other.take(client('trials.get', { day: review.view.dayId, trial })))) return;
    try {
      const { samples, fault } = await fetchSamples(this.other.value!, fetching.signal);
      if (fetching.signal.aborted) return;
      this.#otherSamples = samples;
      this.#otherFault = fault;
    } catch (error) {
      if (!fetching.signal.aborted) throw error;
    }
  }

  /** Where what is shown comes from; asks who is at work and which program this is. */
  async origin(what: string): Promise<Origin> {
    const { client, review } = this.#asked();
    if (this.app.value === null) await this.app.take(client('app.describe', {}));
    const app = this.app.value;
    return {
      day: review.view.day,
      trials: this.#what === 'beside' ? this.names.filter((name) => name !== '') : [review.view.trial],
      what,
      version: app?.version ?? 'of unknown version',
      who: app?.operator ?? '',
      at: instant(),
    };
  }

  /** The numbers of what is shown. */
  async csv(title: string): Promise<string> {
    const origin = await this.origin(title);
    if (this.#what === 'mean') return meanCsv(origin, this.both);
    if (this.#what === 'each') return strokesCsv(origin, this.both);
    return besideCsv(origin, [this.both[this.hand].mean, this.otherCycles?.mean ?? null], this.overlay);
  }

  close(): void {
    this.#fetching?.abort();
  }
}

function countedOf(view: TrialView, hand: Hand): readonly number[] {
  const own = view.result.strokes.filter(({ stroke }) => stroke.hand === hand);
  const counted = own.filter(({ counts }) => counts);
  return (counted.length > 0 ? counted : own).map(({ stroke }) => stroke.number).toSorted((a, b) => a - b);
}

function held(chosen: number | null, strokes: readonly number[]): number | null {
  return chosen !== null && strokes.includes(chosen) ? chosen : (strokes[0] ?? null);
}

/** Both hands, for lists. */
export const HAND_CHOICES = HANDS.map((hand) => ({
  value: hand,
  text: hand === 'left' ? 'Left hand' : 'Right hand',
}));
