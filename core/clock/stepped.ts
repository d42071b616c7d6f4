/**
 * A clock that a mark is put on: the frames of a film, each at its own time (any rate, variable too), or the samples of
 * a trace. Snapping takes the nearest, as formats.md asks of a mark; nudging goes from one to the next.
 */
import { SAME_MOMENT_S } from './clock.ts';

/** All times in s, on one clock. */
export type SteppedClock =
  | { readonly kind: 'frames'; /** Increasing. */ readonly timesS: Float64Array }
  | {
      readonly kind: 'samples';
      readonly startS: number;
      readonly rateHz: number;
      readonly count: number;
    };

function countOf(clock: SteppedClock): number {
  return clock.kind === 'frames' ? clock.timesS.length : clock.count;
}

/** Time of frame or sample k, s. */
function timeOf(clock: SteppedClock, k: number): number {
  return clock.kind === 'frames' ? clock.timesS[k]! : clock.startS + k / clock.rateHz;
}

/** Number of frames or samples before a time. */
function countBefore(clock: SteppedClock, timeS: number): number {
  let [low, high] = [0, countOf(clock)];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (timeOf(clock, middle) < timeS) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The nearest frame or sample and its time, s, the earlier one of two equally near; null where the clock has none. */
export function snapTo(
  clock: SteppedClock,
  timeS: number,
): { readonly index: number; readonly timeS: number } | null {
  const count = countOf(clock);
  if (count === 0) return null;
  const after = countBefore(clock, timeS);
  const before = after - 1;
  const takeBefore =
    after === count || (after > 0 && timeS - timeOf(clock, before) <= timeOf(clock, after) - timeS);
  const index = takeBefore ? before : after;
  return { index, timeS: timeOf(clock, index) };
}

/**
 * The time, s, some frames or samples later (steps > 0) or earlier (steps < 0). From a time between two of them the first
 * step goes to the next or previous one. Null where the clock ends before.
 */
export function nudge(clock: SteppedClock, timeS: number, steps: number): number | null {
  const count = countOf(clock);
  const index =
    steps > 0
      ? countBefore(clock, timeS + SAME_MOMENT_S) + steps - 1
      : countBefore(clock, timeS - SAME_MOMENT_S) + steps;
  if (steps === 0) return timeS;
  return index < 0 || index >= count ? null : timeOf(clock, index);
}
