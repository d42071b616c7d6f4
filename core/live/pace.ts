/**
 * How fast samples come: their number, the time they span, the rate and the gaps. The rate is that of a trace
 * (formats.md section 1); gaps are steps over 1.5 medians (section 5).
 */
import { median } from '../base/statistics.ts';

export interface Pace {
  /** Number of rows. */
  readonly rows: number;
  /** From the first sample to the last, s. */
  readonly seconds: number;
  /** Hz; null below two samples, or where time does not go on. */
  readonly rateHz: number | null;
  /** Number of steps over 1.5 medians; null where the rows have no time. */
  readonly gaps: number | null;
  /** Number of rows whose time is not after that of the row before. */
  readonly backward: number;
}

/** A step is a gap above so many medians. */
const GAP = 1.5;

/**
 * The pace of samples, with source and units as the head of this module says.
 * @param times of the rows in their order, in the unit of `perSecond`; null where they have none
 * @param heardS seconds between the first row's coming and the last's, by the program's own clock
 */
export function paceOf(times: Float64Array | null, rows: number, heardS: number): Pace {
  if (times === null) {
    const rateHz = rows > 1 && heardS > 0 ? (rows - 1) / heardS : null;
    return { rows, seconds: heardS, rateHz, gaps: null, backward: 0 };
  }
  const steps = Float64Array.from(
    { length: Math.max(0, times.length - 1) },
    (_, k) => times[k + 1]! - times[k]!,
  );
  const onward = steps.filter((step) => step > 0);
  const usual = median(onward);
  if (usual === null) return { rows, seconds: 0, rateHz: null, gaps: 0, backward: steps.length };
  const perSecond = unitsPerSecond(usual, steps.length, heardS);
  let [span, count, gaps] = [0, 0, 0];
  for (const step of onward) {
    span += step;
    count += Math.max(1, Math.round(step / usual));
    if (step > GAP * usual) gaps++;
  }
  return {
    rows,
    seconds: span / perSecond,
    rateHz: (count / span) * perSecond,
    gaps,
    backward: steps.length - onward.length,
  };
}

/** How often a second a recorder samples a hand at most, Hz: common practice, no source. */
const FASTEST_HZ = 20_000;

/** Below this, s, the program's clock says nothing of a recorder's. */
const LONG_ENOUGH_S = 1;

/**
 * How many units of its time column a recorder counts in a second: 1, 1000 (ms) or 1,000,000 (µs), none of which is
 * written beside it. Samples come in the time that they tell: of the three the one under which they do. Common
 * practice, no source.
 * @param usual median step in the column's unit
 * @param heardS seconds that the rows took to come, by the program's own clock; 0 where that is not known
 */
export function unitsPerSecond(usual: number, steps = 0, heardS = 0): number {
  const ways = [1, 1e3, 1e6].filter((perSecond) => usual / perSecond >= 1 / FASTEST_HZ);
  if (ways.length === 0) return 1;
  // What comes faster than it was sampled tells nothing: a file sent at once, a recorder that empties its memory.
  if (heardS < LONG_ENOUGH_S) return ways.find((perSecond) => usual / perSecond < 0.2) ?? ways.at(-1)!;
  const off = (perSecond: number) => Math.abs(Math.log((usual * steps) / perSecond / heardS));
  return ways.reduce((best, way) => (off(way) < off(best) ? way : best));
}
