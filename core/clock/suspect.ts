/**
 * Which of pairs that contradict one another is the wrong one: the one without which the others agree best, with one
 * another and with clocks that run alike. Its own residual does not tell, since a pair far from the others pulls the line
 * to itself (deletion of a case: Cook & Weisberg 1982, Residuals and Influence in Regression, from memory).
 */
import { largest, smallest } from '../base/extent.ts';
import { type ClockPair, fitClock, toTrace } from './clock.ts';

interface SuspectPair {
  readonly pair: ClockPair;
  /** How far it lies from the line of the others, s. */
  readonly offS: number;
}

/** The pair without which the others agree best; null below three pairs, where none can be told from another. */
export function suspectPair(pairs: readonly ClockPair[]): SuspectPair | null {
  if (pairs.length < 3) return null;
  const found = pairs.flatMap((pair, at) => {
    const others = pairs.filter((_, k) => k !== at);
    const line = fitClock(others);
    if (line === null) return [];
    const squares = others.reduce((sum, one) => sum + (one.traceS - toTrace(line, one.videoS)) ** 2, 0);
    // A wrong pair with few others may still lie on a line with them, but on one by which the clocks run unlike.
    const times = others.map(({ videoS }) => videoS);
    const unlikeS = Math.abs(line.rate - 1) * (largest(times) - smallest(times));
    const apartS = Math.sqrt(squares / others.length) + unlikeS;
    return [{ pair, offS: Math.abs(pair.traceS - toTrace(line, pair.videoS)), apartS }];
  });
  const best = found.toSorted((a, b) => a.apartS - b.apartS)[0];
  return best === undefined ? null : { pair: best.pair, offS: best.offS };
}
