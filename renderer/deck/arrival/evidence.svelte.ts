/** What a verdict was found on: the trial as review shows it, its forces, and where its sensors were at their end. */
import type { ArrivalReport } from '../../../core/arrival/report.ts';
import type { LabClient } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import type { AssignedSensor, BoardTrial } from '../../../core/deck/deck.ts';
import { addressOf } from '../../../core/contract/addresses.ts';
import type { TrialView } from '../../../core/contract/views.ts';
import type { Span } from '../../plot/downsample.ts';
import { fetchSamples, NO_SAMPLES, type Samples } from '../../review/samples.ts';
import { TrialReview } from '../../review/trialreview.svelte.ts';
import { saturatedSpans } from './saturation.ts';

type PerHand<T> = Readonly<Record<Hand, T>>;

const NOWHERE: PerHand<readonly Span[]> = { left: [], right: [] };
/** A stretch is shown with this much before and after it, s. */
const AROUND_S = 0.75;

export class Evidence {
  #review = $state.raw<TrialReview | null>(null);
  #problem = $state.raw<LabError | null>(null);
  #samplesFault = $state<string | null>(null);
  #raw = $state.raw<Samples>(NO_SAMPLES);
  #saturated = $state.raw(NOWHERE);
  #fetching: AbortController | null = null;

  /** The trial as review shows it; null before it came and where it has no trace. */
  get review(): TrialReview | null {
    return this.#review;
  }

  get problem(): LabError | null {
    return this.#problem;
  }

  get samplesFault(): string | null {
    return this.#samplesFault;
  }

  /** Raw samples, fetched where neither hand has a force or a sensor was at its end. */
  get raw(): Samples {
    return this.#raw;
  }

  get saturated(): PerHand<readonly Span[]> {
    return this.#saturated;
  }

  /** Asks for what a report was found on. A later question takes the earlier one's place. */
  async ask(
    client: LabClient,
    day: number,
    swim: BoardTrial,
    report: ArrivalReport,
    sensors: readonly AssignedSensor[],
  ): Promise<void> {
    this.close();
    const fetching = new AbortController();
    const { signal } = fetching;
    this.#fetching = fetching;
    const answer = await client('trials.get', { day, trial: swim.trial });
    if (signal.aborted) return;
    this.#problem = answer.ok ? null : answer.error;
    if (!answer.ok || answer.value.trace === null) return;
    const review = new TrialReview(answer.value);
    this.#review = review;
    this.showAll();
    try {
      const { samples, fault } = await fetchSamples(review.view, signal);
      const raw = await fetchRaw(review.view, report, signal);
      if (signal.aborted) return;
      review.samples = samples;
      this.#samplesFault = fault;
      this.#raw = raw;
      this.#saturated = saturation(raw, review.view, swim, report, sensors);
    } catch (error) {
      if (!signal.aborted) throw error;
    }
  }

  showAll(): void {
    const trace = this.#review?.view.trace;
    if (trace == null) return;
    this.#review!.plot.fit({ fromS: trace.startS, toS: trace.startS + (trace.count - 1) / trace.rateHz });
  }

  show(startS: number, endS: number): void {
    this.#review?.plot.fit({ fromS: startS - AROUND_S, toS: endS + AROUND_S });
  }

  close(): void {
    this.#fetching?.abort();
    this.#review?.close();
    this.#review = null;
    this.#problem = null;
    this.#samplesFault = null;
    this.#raw = NO_SAMPLES;
    this.#saturated = NOWHERE;
  }
}

async function fetchRaw(view: TrialView, report: ArrivalReport, signal: AbortSignal): Promise<Samples> {
  const none = HANDS.every((hand) => view.trace?.hasForce[hand] !== true);
  const wanted = (hand: Hand) => none || (report.hands[hand]?.saturatedFraction ?? 0) > 0;
  const one = async (hand: Hand): Promise<Float64Array | null> => {
    if (!wanted(hand)) return null;
    const url = new URL(addressOf('raw', { day: view.dayId, trial: view.trial, hand }), window.location.href);
    const response = await fetch(url, { signal });
    return response.ok ? new Float64Array(await response.arrayBuffer()) : null;
  };
  const [left, right] = await Promise.all([one('left'), one('right')]);
  return { left, right };
}

function saturation(
  raw: Samples,
  view: TrialView,
  swim: BoardTrial,
  report: ArrivalReport,
  sensors: readonly AssignedSensor[],
): PerHand<readonly Span[]> {
  const of = (hand: Hand): readonly Span[] => {
    const values = raw[hand];
    const other = hand === 'left' ? 'right' : 'left';
    const code = swim.worn?.[swim.handsSwapped ? other : hand];
    const sensor = sensors.find((one) => one.sensor === code);
    if (values === null || view.trace === null || sensor === undefined) return [];
    if ((report.hands[hand]?.saturatedFraction ?? 0) === 0) return [];
    return saturatedSpans(values, view.trace, sensor.rawMin, sensor.rawMax);
  };
  return { left: of('left'), right: of('right') };
}
