/**
 * What is found on a trial when its files arrive, before anything is marked: is it good, is there something to look at,
 * or must it be swum again while the swimmer is still warm? The person decides. `swim_again`: what the trial is for is
 * lost, by the protocol's limits where it sets one. `look`: something is off, cannot be judged, or is a hint only.
 * Limits that are not the protocol's stand beside what they limit (core/arrival*.ts): common practice, no source.
 */
import type { TrialVerdict } from '../trial/check.ts';
import { type ArrivalFinding, finding, type Judged, again, handFindings } from './findings.ts';
import { type Hand, HANDS } from '../base/hand.ts';
import type { ProtocolContent } from '../protocol/content.ts';
import type { TrialInput, TrialSeries } from '../trial/result.ts';
import { type PlannedCamera, type ArrivalFilm, judgeFilms } from './film.ts';
import { traceEndS, type SampledTrace } from '../force/trace.ts';
import { type HandMeasures, measureHand } from './hand.ts';
import {
  isDead,
  judgeChannel,
  judgeGaps,
  judgeSaturation,
  judgeZero,
  COUNT_ERROR,
  judgeStrokes,
  judgeNoise,
  quietShiftKpa,
} from './judge.ts';
import { judgeDuration, judgeSampling, SHORTEST_PART, expectedRunS } from './trace.ts';
import { judgeSwap } from './swap.ts';

export interface HandArrival {
  /** Strokes found on force, in the order of time: an estimate. */
  readonly strokes: readonly {
    readonly startS: number;
    readonly endS: number;
    readonly peakS: number;
    /** Null where the hand's force is not known: the stroke was then found on its pressure. */
    readonly peakN: number | null;
  }[];
  /** How many lie in the section; null where the section is not known. */
  readonly inSection: number | null;
  readonly longestGapMs: number;
  readonly saturatedFraction: number;
  /** Zero at the end less zero at the start, kPa, from quiet stretches; null where there is none. */
  readonly zeroShiftKpa: number | null;
  /** SD of the force in the quietest second, N, and median of the strokes' peaks, N; null where unknown. */
  readonly noiseN: number | null;
  readonly peakN: number | null;
}

export interface ArrivalReport {
  readonly verdict: TrialVerdict;
  /** The worst first; what was found good stands at the end. */
  readonly findings: readonly ArrivalFinding[];
  readonly hands: Readonly<Record<Hand, HandArrival | null>>;
  readonly durationS: number | null;
  readonly rateHz: number | null;
  readonly section: { readonly startS: number; readonly endS: number } | null;
}

export interface ArrivalInput {
  readonly protocol: Pick<ProtocolContent, 'runM' | 'sectionFromWallM' | 'rateHz' | 'accept' | 'expected'>;
  /** The trial as the dataset sees it; marks play no part. Its section is null before its times are known. */
  readonly trial: TrialInput;
  /** `trialSeries` of the same input. */
  readonly series: TrialSeries;
  /** A whole sentence that says why the trace cannot be read; null where it can, or where none came. */
  readonly traceFault: string | null;
  /** Rows of the trace that were refused. */
  readonly refusedRows: number;
  /** Cameras that should film this trial; none where the swimmer does not consent to be filmed. */
  readonly cameras: readonly PlannedCamera[];
  readonly films: readonly ArrivalFilm[];
  /** Zero of each hand's own sensor known from earlier today, raw; null where there is none. */
  readonly earlierZeroRaw: Readonly<Record<Hand, number | null>>;
  /** True for a trial that only a camera caught: its numbers come from marks alone. */
  readonly cameraOnly: boolean;
  /** True while a file that is missing may still be on its way. */
  readonly mayStillCome: boolean;
}

/** Checks a trial on arrival. Nothing needs to be marked; what cannot be judged says so. */
export function reportArrival(input: ArrivalInput): ArrivalReport {
  const { trace, section } = input.trial;
  const hands = measured(input);
  const found = [
    ...(trace === null ? [withoutTrace(input)] : ofTrace(input, trace, hands)),
    ...judgeFilms(input.films, input.cameras, toHold(input), input.mayStillCome),
  ];
  const order: readonly TrialVerdict[] = ['swim_again', 'look', 'good'];
  const findings = order.flatMap((verdict) => found.filter((one) => one.verdict === verdict));
  const arrivalOf = (hand: Hand) => (hands[hand] === null ? null : handArrival(hands[hand]));
  return {
    verdict: findings[0]?.verdict ?? 'look',
    findings,
    hands: { left: arrivalOf('left'), right: arrivalOf('right') },
    durationS: trace === null ? null : traceEndS(trace) - trace.startS,
    rateHz: trace?.rateHz ?? null,
    section,
  };
}

/** A channel that is dead has no strokes: its noise would pass for some. */
function measured({ trial, series }: ArrivalInput): Readonly<Record<Hand, HandMeasures | null>> {
  const left = measureHand(trial, series, 'left');
  const right = measureHand(trial, series, 'right');
  const alive = (own: HandMeasures | null, other: HandMeasures | null) =>
    own === null || !isDead(own, other)
      ? own
      : { ...own, strokes: [], inSection: own.inSection === null ? null : 0, intervalS: null, peak: null };
  return { left: alive(left, right), right: alive(right, left) };
}

function withoutTrace({ traceFault, cameraOnly, mayStillCome }: ArrivalInput): ArrivalFinding {
  if (cameraOnly)
    return finding(
      'trace',
      'look',
      'Only a camera caught this trial: it has no force, and its numbers come from marks.',
    );
  if (traceFault !== null) return finding('trace', 'swim_again', traceFault);
  if (mayStillCome) return finding('trace', 'look', 'The trace has not come yet.');
  return finding(
    'trace',
    'swim_again',
    'No trace came, so there is no force. Look in the acquisition’s folder first.',
  );
}

function ofTrace(
  input: ArrivalInput,
  trace: SampledTrace,
  hands: Readonly<Record<Hand, HandMeasures | null>>,
): readonly ArrivalFinding[] {
  const { protocol, trial } = input;
  const { accept, runM, expected } = protocol;
  const both = (judge: (found: HandMeasures, hand: Hand) => Judged | null) => {
    const of = (hand: Hand) => (hands[hand] === null ? null : judge(hands[hand], hand));
    return { left: of('left'), right: of('right') };
  };
  const missing = (hand: Hand) =>
    again(`The ${hand} hand has no samples in the trace. Check the columns and the cable.`);
  const channels = both((found, hand) =>
    judgeChannel(hand, found, hands[otherOf(hand)], forceFault(input, hand)),
  );
  const limit = accept.maxGapMs === null ? 'Gaps' : `Gaps (limit ${accept.maxGapMs} ms)`;
  return [
    ...handFindings('channel', 'Channels', {
      left: channels.left ?? missing('left'),
      right: channels.right ?? missing('right'),
    }),
    ...judgeDuration(trace, runM, expected.velocityMS, trial.section),
    ...judgeSampling(trace, protocol.rateHz, input.refusedRows),
    ...handFindings(
      'gaps',
      limit,
      both((found, hand) => judgeGaps(hand, found, trial.section, accept)),
    ),
    ...handFindings(
      'saturation',
      'Saturated',
      both((found, hand) => judgeSaturation(hand, found, accept)),
    ),
    ...judgeSwap(hands, input.earlierZeroRaw, accept.maxZeroShiftKpa),
    ...handFindings(
      'zero',
      'Zero shift',
      both((found, hand) => judgeZero(hand, found, accept)),
    ),
    ...handFindings(
      'strokes',
      `Strokes found (estimate, ±${COUNT_ERROR})`,
      both((found, hand) => judgeStrokes(hand, found, accept, expectedSection(input))),
    ),
    ...judgeDifference(hands),
    ...handFindings(
      'noise',
      'Signal to noise',
      both((found, hand) => judgeNoise(hand, found)),
    ),
  ];
}

function otherOf(hand: Hand): Hand {
  return hand === 'left' ? 'right' : 'left';
}

function expectedSection({ protocol: { sectionFromWallM, expected } }: ArrivalInput) {
  return {
    lengthM: Math.abs(sectionFromWallM[0] - sectionFromWallM[1]),
    velocityMS: expected.velocityMS,
  };
}

/** Why samples give no force, as the end of a sentence; null where they do. */
function forceFault({ series }: ArrivalInput, hand: Hand): string | null {
  const { fault } = series[hand];
  switch (fault) {
    case null:
      return null;
    case 'no_calibration':
      return 'the sensor has no calibration';
    case 'no_hand_area':
      return 'the hand area is not known; measure it before the swimmer leaves';
    case 'filter_unusable':
      return 'the filter cannot be used at this sampling rate';
    default:
      return 'the trace is too short for the filter';
  }
}

/** The arms take turns: their counts differ by one at most. */
function judgeDifference(hands: Readonly<Record<Hand, HandMeasures | null>>): readonly ArrivalFinding[] {
  const counts = HANDS.map((hand) => hands[hand]?.strokes.length ?? 0);
  const [left, right] = [counts[0]!, counts[1]!];
  if (left === 0 || right === 0 || Math.abs(left - right) <= 1) return [];
  return [
    finding(
      'strokes',
      'look',
      `${left} strokes found left and ${right} right (estimate, ±${COUNT_ERROR}); arms that take turns differ by 1 at most. See whether one channel failed for a while.`,
    ),
  ];
}

function toHold({ trial: { trace, section }, protocol }: ArrivalInput) {
  const { velocityMS } = protocol.expected;
  const least = (lengthM: number) => SHORTEST_PART * expectedRunS(lengthM, velocityMS);
  const [from, to] = protocol.sectionFromWallM;
  return {
    trace: trace === null ? null : { startS: trace.startS, endS: traceEndS(trace) },
    section,
    leastS: least(protocol.runM),
    sectionLeastS: least(Math.abs(from - to)),
  };
}

function handArrival(found: HandMeasures): HandArrival {
  const inN = found.unit === 'N';
  return {
    strokes: found.strokes.map((stroke) => (inN ? stroke : { ...stroke, peakN: null })),
    inSection: found.inSection,
    longestGapMs: found.longestGapMs,
    saturatedFraction: found.saturatedFraction,
    zeroShiftKpa: quietShiftKpa(found),
    noiseN: inN ? (found.quietest?.sd ?? null) : null,
    peakN: inN ? found.peak : null,
  };
}
