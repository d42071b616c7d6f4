/** Where a sensor stood at the end of its range: what is marked over the forces. */
import type { Grid, Span } from '../../plot/downsample.ts';

/** Stretches nearer than this are drawn as one, s. */
const TOGETHER_S = 0.01;

/**
 * Stretches in which the raw samples lie at or beyond the end of what the sensor can tell, s, in the order of time.
 * @param rawMin, rawMax ends of the range, raw; null where not known
 */
export function saturatedSpans(
  raw: Float64Array,
  grid: Grid,
  rawMin: number | null,
  rawMax: number | null,
): readonly Span[] {
  const spans: { fromS: number; toS: number }[] = [];
  const stepS = 1 / grid.rateHz;
  raw.forEach((value, k) => {
    if (!((rawMin !== null && value <= rawMin) || (rawMax !== null && value >= rawMax))) return;
    const fromS = grid.startS + k * stepS;
    const last = spans.at(-1);
    if (last !== undefined && fromS - last.toS <= TOGETHER_S) last.toS = fromS + stepS;
    else spans.push({ fromS, toS: fromS + stepS });
  });
  return spans;
}
