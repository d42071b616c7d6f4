/** Looks for a tap or touch in one hand's raw channel. What it finds is proposed, never used by itself. */
import { proposeSpike, type MomentProposal } from '../../../core/clock/proposal.ts';
import type { Hand } from '../../../core/base/hand.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { addressOf } from '../../../core/contract/addresses.ts';
import type { TrialView } from '../../../core/contract/views.ts';
import { withGaps } from '../../plot/downsample.ts';
import type { TrialReview } from '../trialreview.svelte.ts';
import type { SeriesDrawn } from '../../plot/seriesline.ts';

/** Before and after the trace's cursor, s. */
const AROUND_S = 1.5;
/** A step below this share of what the channel spans in the stretch is no tap (common practice, no source). */
const LEAST_SHARE = 0.02;

type Fault = { readonly says: string; readonly todo: string };

export class SpikeFinder {
  readonly #review: () => TrialReview;
  hand = $state<Hand>('left');
  #stretch = $state.raw<{ readonly fromS: number; readonly toS: number } | null>(null);
  #found = $state.raw<readonly MomentProposal[]>([]);
  #series = $state.raw<SeriesDrawn | null>(null);
  #fault = $state.raw<Fault | null>(null);
  #busy = $state(false);

  constructor(review: () => TrialReview) {
    this.#review = review;
  }

  /** The stretch of trace that is searched, s: chosen, else around the trace's cursor. */
  get stretch(): { readonly fromS: number; readonly toS: number } {
    const { cursorS } = this.#review();
    return this.#stretch ?? { fromS: cursorS - AROUND_S, toS: cursorS + AROUND_S };
  }

  get found(): readonly MomentProposal[] {
    return this.#found;
  }

  get series(): SeriesDrawn | null {
    return this.#series;
  }

  get fault(): Fault | null {
    return this.#fault;
  }

  get busy(): boolean {
    return this.#busy;
  }

  choose(stretch: { readonly fromS: number; readonly toS: number } | null): void {
    this.#stretch = stretch;
  }

  chooseWhole(): void {
    const { trace } = this.#review().view;
    if (trace !== null)
      this.#stretch = { fromS: trace.startS, toS: trace.startS + (trace.count - 1) / trace.rateHz };
  }

  async start(): Promise<void> {
    const { view } = this.#review();
    const { trace } = view;
    if (trace === null) return;
    this.#busy = true;
    const fetched = await fetchRaw(view, this.hand);
    this.#busy = false;
    this.#found = [];
    this.#series = null;
    this.#fault = fetched.ok ? null : fetched.error;
    if (!fetched.ok) return;
    const { fromS, toS } = this.stretch;
    const first = Math.max(0, Math.ceil((fromS - trace.startS) * trace.rateHz - 1e-6));
    const last = Math.min(trace.count - 1, Math.floor((toS - trace.startS) * trace.rateHz + 1e-6));
    const samples = fetched.value.slice(first, last + 1);
    const grid = { startS: trace.startS + first / trace.rateHz, rateHz: trace.rateHz };
    const outcome = proposeSpike(samples, grid, LEAST_SHARE * spanOf(samples));
    this.#found = outcome.ok ? outcome.value : [];
    this.#fault = outcome.ok ? null : outcome.error;
    this.#series = {
      timesS: samples.map((_, k) => grid.startS + k / grid.rateHz),
      values: samples,
      atS: this.#found.map(({ timeS }) => timeS),
    };
  }

  /** Parts the cursors and puts the trace's at a proposal. */
  lookAt(proposal: MomentProposal): void {
    const { playback } = this.#review();
    if (!playback.apart) playback.part();
    playback.moveTo(proposal.timeS);
  }
}

function spanOf(samples: Float64Array): number {
  let [least, most] = [Infinity, -Infinity];
  for (const value of samples) {
    if (value < least) least = value;
    if (value > most) most = value;
  }
  return most > least ? most - least : 1;
}

async function fetchRaw(view: TrialView, hand: Hand): Promise<Outcome<Float64Array, Fault>> {
  const trace = view.trace!;
  const cannot = (why: string): Outcome<Float64Array, Fault> =>
    failed({
      says: `The ${hand} hand’s raw samples could not be read (${why}).`,
      todo: 'Choose the other hand, or open the day again from its folder.',
    });
  try {
    const response = await fetch(
      new URL(addressOf('raw', { day: view.dayId, trial: view.trial, hand }), window.location.href),
    );
    if (!response.ok) return cannot(`status ${response.status}`);
    const bytes = await response.arrayBuffer();
    if (bytes.byteLength !== 8 * trace.count)
      return cannot(`${bytes.byteLength} bytes came for ${trace.count} samples`);
    return done(withGaps(new Float64Array(bytes), trace, trace.gaps[hand]));
  } catch {
    return cannot('the program does not answer');
  }
}
