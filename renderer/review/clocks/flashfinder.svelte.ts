/** Looks for a lamp that goes on within the box drawn on the film. What it finds is proposed, never used by itself. */
import { proposeLamp, type MomentProposal } from '../../../core/clock/proposal.ts';
import { filmUrl } from '../../client.ts';
import { lastNotAfter } from '../frames.ts';
import type { TrialReview } from '../trialreview.svelte.ts';
import { readBrightness, type Stretch } from './brightness.ts';
import type { SeriesDrawn } from '../../plot/seriesline.ts';

/** Before and after the film's cursor, s. */
const AROUND_S = 1.5;

type Fault = { readonly says: string; readonly todo: string };

export class FlashFinder {
  readonly #review: () => TrialReview;
  #stretch = $state.raw<{ readonly fromS: number; readonly toS: number } | null>(null);
  #progress = $state.raw<{ readonly done: number; readonly total: number } | null>(null);
  #found = $state.raw<readonly MomentProposal[]>([]);
  #first = 0;
  #series = $state.raw<SeriesDrawn | null>(null);
  #fault = $state.raw<Fault | null>(null);
  #running: AbortController | null = null;

  constructor(review: () => TrialReview) {
    this.#review = review;
  }

  /** The stretch of film that is searched, s on the film's clock: chosen, else around the film's cursor. */
  get stretch(): { readonly fromS: number; readonly toS: number } {
    return this.#stretch ?? this.#around();
  }

  get progress(): { readonly done: number; readonly total: number } | null {
    return this.#progress;
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

  get frames(): number {
    const { first, last } = this.#frames();
    return Math.max(0, last - first + 1);
  }

  /** Chooses the stretch; null goes back to around the cursor. */
  choose(stretch: { readonly fromS: number; readonly toS: number } | null): void {
    this.#stretch = stretch;
  }

  chooseWhole(): void {
    const times = this.#review().playback.player?.film.frameTimesS ?? [];
    this.#stretch = { fromS: times[0] ?? 0, toS: times.at(-1) ?? 0 };
  }

  cancel(): void {
    this.#running?.abort();
  }

  async start(): Promise<void> {
    const { playback, picture, view } = this.#review();
    const film = playback.player?.film;
    if (film === undefined) return;
    if (picture.box === null) {
      this.#fault = {
        says: 'No box is drawn on the film.',
        todo: 'Draw one around the lamp first, by mouse or by the four fields.',
      };
      return;
    }
    const stretch = this.#frames();
    const running = new AbortController();
    this.#running = running;
    this.#found = [];
    this.#series = null;
    this.#fault = null;
    this.#first = stretch.first;
    this.#progress = { done: 0, total: this.frames };
    try {
      const brightness = await readBrightness({
        film,
        src: filmUrl(view.dayId, view.trial, film.camera),
        box: picture.box,
        stretch,
        onFrame: (done) => (this.#progress = { done, total: brightnessCount(stretch) }),
        signal: running.signal,
      });
      const timesS = Float64Array.from(film.frameTimesS.slice(stretch.first, stretch.last + 1));
      const outcome = proposeLamp(timesS, brightness);
      this.#found = outcome.ok ? outcome.value : [];
      this.#fault = outcome.ok ? null : outcome.error;
      this.#series = { timesS, values: brightness, atS: this.#found.map(({ timeS }) => timeS) };
    } catch (error) {
      if (!running.signal.aborted) throw error;
    } finally {
      this.#progress = null;
    }
  }

  /** Puts the film's cursor, and that alone, at a proposal. */
  lookAt(proposal: MomentProposal): void {
    this.#review().playback.part(this.frameOf(proposal));
  }

  frameOf(proposal: MomentProposal): number {
    return this.#first + proposal.index;
  }

  #around(): { readonly fromS: number; readonly toS: number } {
    const { playback } = this.#review();
    const times = playback.player?.film.frameTimesS ?? [];
    const atS = playback.videoS ?? times[0] ?? 0;
    return {
      fromS: Math.max(times[0] ?? 0, atS - AROUND_S),
      toS: Math.min(times.at(-1) ?? 0, atS + AROUND_S),
    };
  }

  #frames(): Stretch {
    const times = this.#review().playback.player?.film.frameTimesS ?? [];
    const { fromS, toS } = this.stretch;
    return { first: Math.max(0, lastNotAfter(times, fromS)), last: lastNotAfter(times, toS) };
  }
}

function brightnessCount({ first, last }: Stretch): number {
  return last - first + 1;
}
