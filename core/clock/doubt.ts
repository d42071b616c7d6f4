/**
 * Whether a camera's clock can be believed, and how uncertain its line is at a mark, by the rules of formats.md
 * (sync.csv, and section 2, uncertainties). Variance of a fitted line: JCGM 100:2008, H.3.5; reading to the nearest
 * frame or sample: 4.3.7.
 */
import { largest, smallest } from '../base/extent.ts';
import type { ClockPair } from './clock.ts';
import { fitLine, mean } from '../base/statistics.ts';

/** How finely the two clocks are read, s; null where it is not known. */
export interface ClockSteps {
  /** Frame interval of the film. */
  readonly frameStepS: number | null;
  /** Sampling interval of the trace. */
  readonly sampleStepS: number | null;
}

export interface ClockDoubt {
  /** The pairs, or the rate, are further off than reading explains. */
  readonly doubtful: boolean;
  /** Which of the two: pairs before the rate; null where neither is. */
  readonly because: 'pairs' | 'rate' | null;
  /** Nothing shows whether the two clocks run at one rate. */
  readonly unchecked: boolean;
}

/** Two quartz clocks differ by less than this (common practice, no source). */
const MOST_RATE_OFF = 5e-4;

/** Floating-point room: two differences of times nearer than this are the same, s. */
const DUST_S = 1e-9;

/**
 * Judges the pairs of one camera in one trial. Where a step is not known, or the pairs are too few, only what can be
 * computed is judged.
 */
export function clockDoubt(pairs: readonly ClockPair[], steps: ClockSteps): ClockDoubt {
  const { frameStepS, sampleStepS } = steps;
  const line = fitLine(
    pairs.map(({ videoS }) => videoS),
    pairs.map(({ traceS }) => traceS),
  );
  const unchecked = pairs.length > 0 && line === null;
  if (frameStepS === null || sampleStepS === null) return { doubtful: false, because: null, unchecked };
  const explained = frameStepS + sampleStepS;
  const offset = mean(pairs.map(({ traceS, videoS }) => traceS - videoS)) ?? 0;
  const [intercept, rate] = line === null ? [offset, 1] : [line.intercept, line.slope];
  const squares = pairs.map(({ traceS, videoS }) => (traceS - intercept - rate * videoS) ** 2);
  const residual = pairs.length < 3 ? 0 : Math.sqrt(mean(squares)!);
  const rateU =
    line === null ? 0 : Math.hypot(frameStepS, sampleStepS) / Math.sqrt(12) / Math.sqrt(line.sumSquaresX);
  const because =
    residual > explained / 2 + DUST_S || momentSpread(pairs) > explained + DUST_S
      ? 'pairs'
      : Math.abs(rate - 1) > MOST_RATE_OFF + 3 * rateU
        ? 'rate'
        : null;
  return { doubtful: because !== null, because, unchecked };
}

/** The largest difference of trace times among pairs at one video time, s. */
function momentSpread(pairs: readonly ClockPair[]): number {
  let most = 0;
  for (const own of Map.groupBy(pairs, ({ videoS }) => videoS).values()) {
    const times = own.map(({ traceS }) => traceS);
    most = Math.max(most, largest(times) - smallest(times));
  }
  return most;
}

/**
 * Standard uncertainty of the clock line at a mark on film, s, from reading alone: u_pair·√(1/n + (x − x̄)²/Σ(x − x̄)²).
 * Null without a pair, or where a step is not known.
 */
export function clockLineUS(pairs: readonly ClockPair[], videoS: number, steps: ClockSteps): number | null {
  const { frameStepS, sampleStepS } = steps;
  if (pairs.length === 0 || frameStepS === null || sampleStepS === null) return null;
  const centre = mean(pairs.map((pair) => pair.videoS))!;
  const spread = pairs.some((pair) => pair.videoS !== pairs[0]!.videoS)
    ? pairs.reduce((sum, pair) => sum + (pair.videoS - centre) ** 2, 0)
    : 0;
  const lever = spread > 0 ? (videoS - centre) ** 2 / spread : 0;
  const pairUS = Math.hypot(frameStepS, sampleStepS) / Math.sqrt(12);
  return pairUS * Math.sqrt(1 / pairs.length + lever);
}
