/**
 * Median absolute deviation: the median distance from the median, in the unit of the values; over Φ⁻¹(3/4) it estimates
 * a normal spread (Hampel 1974, J Am Stat Assoc 69:383–393; Leys et al. 2013, J Exp Soc Psychol 49:764–766).
 */
import { median } from '../../base/statistics.ts';

/** Φ⁻¹(3/4), which makes of a median absolute deviation the standard deviation of a normal spread. */
const NORMAL = 0.6744897501960817;

/** A middle and a spread that a few wild values do not move, in the unit of the values. */
export interface Robust {
  readonly median: number;
  /** Median absolute deviation over Φ⁻¹(3/4). */
  readonly mad: number;
}

/** Median and scaled median absolute deviation; null of no values. */
export function robust(values: readonly number[]): Robust | null {
  const middle = median(values);
  if (middle === null) return null;
  const away = median(values.map((value) => Math.abs(value - middle)))!;
  return { median: middle, mad: away / NORMAL };
}
