/**
 * Trace clock and camera clock: a straight line from moments seen on both.
 * trace = offset + rate × video, ordinary least squares; one pair fixes the offset alone (formats.md, sync.csv).
 */
import type { FilmS, TraceS } from '../base/units.ts';
import { fitLine, mean } from '../base/statistics.ts';

/** One moment seen on both clocks, s. */
export interface ClockPair {
  readonly traceS: TraceS;
  readonly videoS: FilmS;
}

export interface ClockLine {
  /** Trace time at video time 0, s. */
  readonly offsetS: number;
  /** Trace seconds per video second; 1 where one pair only fixes the offset. */
  readonly rate: number;
  /** Root mean square of the residuals, s; null below three pairs. */
  readonly residualS: number | null;
  readonly pairs: number;
}

/**
 * The clock line of a camera from its pairs.
 * Returns null without a pair, and where the pairs contradict one another (the trace would run backward).
 * Pairs that all lie at one video time fix the offset alone, as their mean.
 */
export function fitClock(pairs: readonly ClockPair[]): ClockLine | null {
  const line = fitLine(
    pairs.map((pair) => pair.videoS),
    pairs.map((pair) => pair.traceS),
  );
  const offset = mean(pairs.map((pair) => pair.traceS - pair.videoS));
  if (offset === null) return null;
  const fitted = line === null ? { offsetS: offset, rate: 1 } : { offsetS: line.intercept, rate: line.slope };
  if (!(fitted.rate > 0)) return null;
  const squares = pairs.map((pair) => (pair.traceS - toTrace(fitted, pair.videoS)) ** 2);
  return { ...fitted, residualS: pairs.length < 3 ? null : Math.sqrt(mean(squares)!), pairs: pairs.length };
}

type Rate = Pick<ClockLine, 'offsetS' | 'rate'>;

/** A camera's own clock taken as the trial's: nothing is shifted. */
export const SAME_CLOCK: Rate = { offsetS: 0, rate: 1 };

/** Video time (s) on the trace's clock, s. */
export function toTrace(clock: Rate, videoS: FilmS): TraceS {
  return clock.offsetS + clock.rate * videoS;
}

/** Trace time (s) on the camera's clock, s. */
export function toVideo(clock: Rate, traceS: TraceS): FilmS {
  return (traceS - clock.offsetS) / clock.rate;
}

/** The camera whose film trials.csv names, whose clock stands in for a missing trace, and which is meant where none is named. */
export const MAIN_CAMERA = 'A';

/** Two moments closer than this are the same one: floating-point room of a mapped clock, s. */
export const SAME_MOMENT_S = 1e-9;
