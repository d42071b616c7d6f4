/**
 * How far a camera's clock line can be trusted along a trial: uncertainty of the mapped time at, between and beyond the
 * moments seen on both clocks, the residual of each, and sentences for what a person should know.
 * Uncertainty of a point of a fitted line: JCGM 100:2008, H.3.5; reading to the nearest frame or sample: 4.3.7.
 */
import { largest } from '../base/extent.ts';
import type { FilmS } from '../base/units.ts';
import { type ClockPair, type ClockLine, fitClock, toTrace } from './clock.ts';
import { clockDoubt } from './doubt.ts';
import { suspectPair } from './suspect.ts';
import { rootSumSquares } from '../base/uncertainty.ts';
import { mean } from '../base/statistics.ts';
import { figures } from '../base/words.ts';

/** How finely the two clocks are read, s. */
export interface ClockReading {
  /** Frame interval of the film; null where it is not known. */
  readonly frameStepS: number | null;
  /** Sampling interval of the trace; null where it is not known. */
  readonly sampleStepS: number | null;
}

export type ClockVerdict =
  | 'no_pair'
  | 'one_pair'
  | 'one_moment'
  | 'runs_backward'
  | 'contradictory'
  | 'rate_far'
  | 'unchecked'
  | 'good';

export interface PairResidual {
  readonly pair: ClockPair;
  /** Trace time minus the line's, s. */
  readonly residualS: number;
  /** The most that reading to the nearest frame and sample explains, s; null where a step is not known. */
  readonly explainedS: number | null;
  /** True where the residual is larger than that. */
  readonly beyond: boolean;
}

export interface ClockQuality {
  readonly verdict: ClockVerdict;
  readonly line: ClockLine | null;
  /** In the order of the pairs given; empty where there is no line. */
  readonly residuals: readonly PairResidual[];
  /** Standard uncertainty of one pair, s: reading, or the scatter about the line where that is larger. */
  readonly pairUS: number | null;
  /** Mean video time of the pairs, s, and Σ(video − mean)², s². */
  readonly meanVideoS: number;
  readonly sumSquaresS2: number;
  /** Sentences for a person: what is wrong or doubtful, and what to do. */
  readonly says: readonly string[];
}

/** Standard uncertainty of a rate that no second pair fixes: cheap quartz, 50 ppm (common practice, no source). */
export const UNKNOWN_RATE_U = 50e-6;

/** Standard uncertainty of one pair's reading, s: both steps, each rectangular; null where one is not known. */
export function pairReadingU({ frameStepS, sampleStepS }: ClockReading): number | null {
  const part = (step: number | null) => (step === null ? null : step / Math.sqrt(12));
  return rootSumSquares([part(frameStepS), part(sampleStepS)]);
}

/** Judges the pairs of one camera in one trial. */
export function clockQuality(pairs: readonly ClockPair[], reading: ClockReading): ClockQuality {
  const line = fitClock(pairs);
  const meanVideoS = mean(pairs.map(({ videoS }) => videoS)) ?? 0;
  const sumSquaresS2 = pairs.some(({ videoS }) => videoS !== pairs[0]!.videoS)
    ? pairs.reduce((sum, { videoS }) => sum + (videoS - meanVideoS) ** 2, 0)
    : 0;
  const residuals = line === null ? [] : residualsOf(pairs, line, meanVideoS, sumSquaresS2, reading);
  const scatter = scatterOf(residuals, sumSquaresS2 > 0 ? 2 : 1);
  const readingU = pairReadingU(reading);
  const pairUS = readingU === null && scatter === null ? null : Math.max(readingU ?? 0, scatter ?? 0);
  const verdict = verdictOf(pairs, line, residuals, sumSquaresS2, reading);
  const says = sentencesOf(verdict, pairs, line, residuals);
  return { verdict, line, residuals, pairUS, meanVideoS, sumSquaresS2, says };
}

/**
 * Standard uncertainty of the trace time that the line gives a video time, s. Where the pairs fix no rate, it grows
 * with the distance from them by {@link UNKNOWN_RATE_U}. Null where there is no line or no reading is known.
 */
export function clockUAt(quality: ClockQuality, videoS: FilmS): number | null {
  const { line, pairUS, meanVideoS, sumSquaresS2 } = quality;
  if (line === null || pairUS === null) return null;
  const away = videoS - meanVideoS;
  const offset = pairUS / Math.sqrt(line.pairs);
  const rate = sumSquaresS2 > 0 ? pairUS / Math.sqrt(sumSquaresS2) : UNKNOWN_RATE_U;
  return Math.hypot(offset, away * rate);
}

/** The uncertainty along a stretch of the film, for drawing and for a sentence. */
export interface ClockAlong {
  readonly points: readonly { readonly videoS: FilmS; readonly uS: number }[];
  /** Where it is largest in the stretch. */
  readonly worst: { readonly videoS: FilmS; readonly uS: number };
  /** One sentence: at the pairs, between them, and at the worst end. */
  readonly says: string;
}

/**
 * The line's uncertainty from one video time to another, s.
 * @param count points, ≥ 2, spread evenly
 * Null where the uncertainty is not known.
 */
export function clockAlong(
  quality: ClockQuality,
  fromS: number,
  toS: number,
  count = 101,
): ClockAlong | null {
  if (clockUAt(quality, fromS) === null) return null;
  const at = (videoS: FilmS) => ({ videoS, uS: clockUAt(quality, videoS)! });
  const points = Array.from({ length: count }, (_, k) => at(fromS + ((toS - fromS) * k) / (count - 1)));
  const ends = [at(fromS), at(toS)] as const;
  // The uncertainty is a bowl: its largest value lies at an end.
  const worst = ends[1].uS > ends[0].uS ? ends[1] : ends[0];
  const atPairs = largest(quality.residuals.map(({ pair }) => clockUAt(quality, pair.videoS)!));
  const least = clockUAt(quality, quality.meanVideoS)!;
  const middle = quality.sumSquaresS2 > 0 ? `, ${ms(least)} at best between them` : '';
  const says = `Standard uncertainty of the film’s time on the trace: ${ms(atPairs)} at the pairs${middle}, ${ms(worst.uS)} at ${worst.videoS.toFixed(2)} s of the film.`;
  return { points, worst, says };
}

function residualsOf(
  pairs: readonly ClockPair[],
  line: ClockLine,
  meanVideoS: number,
  sumSquaresS2: number,
  { frameStepS, sampleStepS }: ClockReading,
): readonly PairResidual[] {
  const half = frameStepS === null || sampleStepS === null ? null : (frameStepS + sampleStepS) / 2;
  const away = pairs.map(({ videoS }) => videoS - meanVideoS);
  // How strongly pair j pulls the line at pair i: the hat matrix of least squares.
  const pull = (i: number, j: number) =>
    1 / pairs.length + (sumSquaresS2 > 0 ? (away[i]! * away[j]!) / sumSquaresS2 : 0);
  return pairs.map((pair, i) => {
    const residualS = pair.traceS - toTrace(line, pair.videoS);
    const share = pairs.reduce((sum, _, j) => sum + Math.abs((i === j ? 1 : 0) - pull(i, j)), 0);
    const explainedS = half === null ? null : half * share;
    const beyond = explainedS !== null && Math.abs(residualS) > explainedS + 1e-9;
    return { pair, residualS, explainedS, beyond };
  });
}

/** Standard deviation about the line, s; null without a degree of freedom. */
function scatterOf(residuals: readonly PairResidual[], parameters: number): number | null {
  const freedom = residuals.length - parameters;
  if (freedom < 1) return null;
  return Math.sqrt(residuals.reduce((sum, { residualS }) => sum + residualS ** 2, 0) / freedom);
}

/** What is called contradictory, or a rate in doubt, is what the dataset flags `clock_doubtful`, and nothing else is. */
function verdictOf(
  pairs: readonly ClockPair[],
  line: ClockLine | null,
  residuals: readonly PairResidual[],
  sumSquaresS2: number,
  reading: ClockReading,
): ClockVerdict {
  if (pairs.length === 0) return 'no_pair';
  if (line === null) return 'runs_backward';
  const { doubtful, because } = clockDoubt(pairs, reading);
  if (doubtful)
    return because === 'rate' && !residuals.some(({ beyond }) => beyond) ? 'rate_far' : 'contradictory';
  if (sumSquaresS2 === 0) return pairs.length === 1 ? 'one_pair' : 'one_moment';
  return pairs.length === 2 ? 'unchecked' : 'good';
}

function sentencesOf(
  verdict: ClockVerdict,
  pairs: readonly ClockPair[],
  line: ClockLine | null,
  residuals: readonly PairResidual[],
): readonly string[] {
  switch (verdict) {
    case 'no_pair':
      return [
        'No moment is marked on both clocks, so marks on this film have no time on the trace. Mark a flash, a tap or a touch on both; best one before and one after the swim.',
      ];
    case 'one_pair':
      return [
        `One pair fixes the offset alone; the rate is taken as 1, which adds about ${figures(UNKNOWN_RATE_U * 1e6)} µs per second away from it. Mark a second moment far from the first.`,
      ];
    case 'one_moment':
      return [
        'All pairs lie at one moment of the film and fix the offset alone; the rate is taken as 1. Mark a moment far from them.',
      ];
    case 'runs_backward':
      return [
        `The pairs contradict one another: by them the trace would run backward. ${suspectSentence(pairs) ?? 'At least one joins two different moments; check them one by one and remove the wrong one.'}`,
      ];
    case 'contradictory': {
      const suspect = suspectSentence(pairs);
      if (suspect !== null)
        return [`The pairs contradict one another, by more than reading explains. ${suspect}`];
      const worst = residuals.reduce((most, one) => (excess(one) > excess(most) ? one : most));
      return [
        `The pairs contradict one another: the one at ${worst.pair.videoS.toFixed(3)} s of the film lies ${ms(Math.abs(worst.residualS))} off the line, and reading to the nearest frame and sample explains ${ms(worst.explainedS!)} at most. Check that each pair joins the same moment.`,
      ];
    }
    case 'rate_far': {
      const ppm = Math.round((line!.rate - 1) * 1e6);
      return [
        `By these pairs the film runs ${Math.abs(ppm)} ppm too ${ppm > 0 ? 'slow' : 'fast'} against the trace, far more than two quartz clocks differ. Check the pairs, the film’s frame rate (29.97 taken for 30 is 1000 ppm) and the trace’s sampling rate.`,
      ];
    }
    case 'unchecked':
      return ['The line goes through both pairs exactly, so nothing checks them; a third pair would.'];
    case 'good': {
      if (residuals[0]!.explainedS === null)
        return [
          `${pairs.length} pairs give the line; frame interval or sampling rate is not known, so it cannot be said whether reading explains their residuals.`,
        ];
      const off = residuals.filter(({ beyond }) => beyond);
      return [
        off.length === 0
          ? `${pairs.length} pairs agree within what reading to the nearest frame and sample explains.`
          : `Together the ${pairs.length} pairs agree within what reading explains, but not each: look again at the one at ${off[0]!.pair.videoS.toFixed(3)} s of the film, ${ms(Math.abs(off[0]!.residualS))} off the line.`,
      ];
    }
  }
}

/** Which pair is likely the wrong one, and what to do; null where none can be told from another. */
function suspectSentence(pairs: readonly ClockPair[]): string | null {
  const suspect = suspectPair(pairs);
  if (suspect === null) return null;
  const { pair, offS } = suspect;
  return `The others agree best without the one at ${pair.videoS.toFixed(3)} s of the film, which lies ${ms(offS)} off their line: check that it joins the same moment on both clocks, or remove it.`;
}

function excess({ residualS, explainedS }: PairResidual): number {
  return Math.abs(residualS) - (explainedS ?? Infinity);
}

function ms(seconds: number): string {
  return `${figures(1000 * seconds)} ms`;
}
