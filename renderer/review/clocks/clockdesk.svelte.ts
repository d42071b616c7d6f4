/**
 * A trial's clocks: the pairs of moments that tie each camera to the trace, marked and removed by a person. An edit
 * shows at once and is taken back where the lab says no; every one is a step of the day's history.
 */
import { clockAlong, clockQuality } from '../../../core/clock/quality.ts';
import type { LabClient } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import type { PairRow } from '../../../core/marking/words.ts';
import { changes } from '../../changes.svelte.ts';
import { formatNumber } from '../../format.ts';
import { filmEndS, nearestFrame } from '../frames.ts';
import type { TrialReview } from '../trialreview.svelte.ts';
import { nearestSampleS, stepsOf } from './moments.ts';

interface Asked {
  readonly client: LabClient;
  readonly review: TrialReview;
}

export class ClockDesk {
  readonly #asked: () => Asked;
  /** What was seen at both moments, as it will stand in the file. */
  what = $state('lamp');
  /** The pairs as the screen has them while edits are on their way. */
  #pending = $state.raw<readonly PairRow[] | null>(null);
  #problem = $state.raw<LabError | null>(null);
  #said = $state('');
  #chain: Promise<void> = Promise.resolve();
  #onTheWay = 0;

  /** The film on the screen; null where the trial has none. */
  readonly film = $derived.by(() => {
    const { view, playback } = this.#asked().review;
    return view.films.find(({ camera }) => camera === playback.camera) ?? null;
  });
  /** Every camera's pairs. */
  readonly pairs = $derived.by(() => this.#pending ?? this.#asked().review.view.marking.pairs);
  /** The pairs of the camera on the screen, in order of the film. */
  readonly here = $derived.by(() => this.pairsOf(this.film?.camera ?? null));
  readonly quality = $derived.by(() => this.qualityOf(this.film?.camera ?? null));
  /** The uncertainty along the film. */
  readonly along = $derived.by(() => {
    const [first, end] = [this.film?.frameTimesS[0], this.film === null ? null : filmEndS(this.film)];
    return first === undefined || end === null ? null : clockAlong(this.quality, first, end);
  });
  /** The moment under the trace's cursor, on its grid, s; null where the cursor lies outside the trace. */
  readonly traceS = $derived.by(() => {
    const { view, cursorS } = this.#asked().review;
    return nearestSampleS(view.trace, cursorS);
  });

  constructor(asked: () => Asked) {
    this.#asked = asked;
  }

  /** Why the latest edit was not kept; null where it was. */
  get problem(): LabError | null {
    return this.#problem;
  }

  get said(): string {
    return this.#said;
  }

  pairsOf(camera: string | null): readonly PairRow[] {
    return this.pairs.filter((pair) => pair.camera === camera).toSorted((a, b) => a.videoS - b.videoS);
  }

  qualityOf(camera: string | null) {
    const { view } = this.#asked().review;
    const film = view.films.find((one) => one.camera === camera) ?? null;
    return clockQuality(this.pairsOf(camera), stepsOf(film, view.trace));
  }

  /** Joins the frame under the film's cursor and the sample under the trace's as one moment. */
  mark(): void {
    const { playback } = this.#asked().review;
    const { videoS, frame, camera } = playback;
    const { traceS } = this;
    if (camera === null || videoS === null || traceS === null || !playback.apart) return;
    this.add({ camera, traceS, videoS, what: this.what.trim() }, `frame ${frame}`);
  }

  /** Adds a pair; `where` tells what was seen on the film. */
  add(pair: PairRow, where: string): void {
    const at = `${where} (${seconds(pair.videoS)}) is ${seconds(pair.traceS)} of the trace`;
    this.#put([...this.pairs, pair], `Camera ${pair.camera}: ${at}`);
  }

  remove(pair: PairRow): void {
    const says = `Camera ${pair.camera}: pair at ${seconds(pair.videoS)} of the film removed`;
    this.#put(
      this.pairs.filter((other) => other !== pair),
      says,
    );
  }

  /** Parts the cursors and puts each at a pair's moment on its own clock. */
  goTo(pair: PairRow): void {
    const { playback } = this.#asked().review;
    if (this.film === null) return;
    playback.part(nearestFrame(this.film, pair.videoS) ?? 0);
    playback.moveTo(pair.traceS);
  }

  #put(now: readonly PairRow[], says: string): void {
    const { client, review } = this.#asked();
    const seen = this.pairs;
    this.#pending = now;
    this.#problem = null;
    this.#said = says;
    this.#onTheWay++;
    this.#chain = this.#chain.then(() => this.#send(client, review, { seen, now, says }));
    changes.hold(this.#chain);
  }

  async #send(
    client: LabClient,
    review: TrialReview,
    edit: { readonly seen: readonly PairRow[]; readonly now: readonly PairRow[]; readonly says: string },
  ): Promise<void> {
    const { dayId: day, trial } = review.view;
    const outcome = await client('clock.edit', {
      day,
      trial,
      seen: [...edit.seen],
      now: [...edit.now],
      says: edit.says,
    });
    this.#onTheWay--;
    if (outcome.ok) {
      review.renew(outcome.value);
      if (this.#onTheWay === 0) this.#pending = null;
      return;
    }
    this.#pending = null;
    this.#said = '';
    this.#problem = { ...outcome.error, says: `“${edit.says}” was not kept: ${outcome.error.says}` };
    if (outcome.error.code !== 'changed_meanwhile') return;
    const fresh = await client('trials.get', { day, trial });
    if (fresh.ok) review.renew(fresh.value);
  }
}

function seconds(timeS: number): string {
  return `${formatNumber(timeS, 3)}\u00a0s`;
}
