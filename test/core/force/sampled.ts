/** Rows of a trace for tests, as a reader gives them: times in s, samples of one or both hands. */
import { sampleRows } from '../../../core/force/trace.ts';

export const rows = (
  timeS: readonly number[],
  left: readonly number[] = timeS.map((_, k) => k),
  right = left,
) =>
  sampleRows({
    timeS: Float64Array.from(timeS),
    rateHz: null,
    lines: Uint32Array.from(timeS, (_, k) => k + 2),
    left: Float64Array.from(left),
    right: Float64Array.from(right),
  });

export const sampled = (...input: Parameters<typeof rows>) => rows(...input).trace!;
