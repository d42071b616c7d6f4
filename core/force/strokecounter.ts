/**
 * Arm strokes of one hand counted on its force, before anything is marked: an estimate for the person on deck, never a
 * number of the dataset. On the invented sample day (26 hands with a trace; test/core/force/strokecounter-truth.test.ts) it found
 * every stroke of the whole trace and none too many; of those in the measured section the count was right in 22 and one
 * too high in 4, for a stroke that straddles the section's edge starts later by force than it does by eye. A real swim
 * may do worse: coloured noise of a dead channel, above all, can pass for strokes, so ask first whether it is alive.
 *
 * Every limit is relative to the trial's own level, so that pressure in kPa, or raw, serves where the hand area or the
 * calibration is not known: scale, zero and clock of the series play no part. The series is smoothed over about a tenth
 * of a second, which takes out noise, the slap of the entry and taps; a moving low level, the hand in the air, is taken
 * off; pulses are found by the rule of core/propulsionproposal.ts; pulses too close together to be two strokes are the
 * pull and the push of one. All limits: common practice, no source.
 */
import { median } from '../base/statistics.ts';
import { proposePropulsion } from './propulsion.ts';

/** A stroke found; its times lie on samples. */
export interface CountedStroke {
  /** s, on the clock of the grid: where the load rises through a quarter of its peak, and falls below 15 % of it. */
  readonly startS: number;
  readonly endS: number;
  /** The largest sample between the two, in the unit of the series, and when. */
  readonly peakS: number;
  readonly peakN: number;
}

/** Width of one of the two passes of the moving mean, s. */
const SMOOTH_S = 0.06;

/** The low level at a moment: this part of the samples within so many seconds of it lies below. */
const LOW_PART = 0.2;

const LOW_WITHIN_S = 2;

const LOW_STEP_S = 0.04;

/** A stretch this long holds a peak of every swim (a cycle of 40 per minute)… */
const WINDOW_S = 1.5;

/** …and is part of the swim where the load that lasts for so long, s, reaches this part of the most that does. */
const LASTING_S = 0.2;

const SWIM_PART = 0.4;

/** A stroke peaks at no less than this part of the trial's own level: a hindered one is still one. */
const LEAST_PEAK = 0.22;

/** The level stands out from what smoothing took away by at least this factor, or all is noise. */
const LEAST_CLEAR = 2;

/** A pulse begins at a quarter of its peak and ends at 15 % of it: where it is counted matters more than where it begins. */
const PULSE = { enterPct: 25, leavePct: 15, leastS: 0.15 } as const;

/** Median absolute deviation to standard deviation (Rousseeuw & Croux 1993, J Am Stat Assoc 88:1273–1283). */
const MAD_TO_SD = 1.4826;

/** Peaks of one hand closer than this part of the usual interval, within these bounds, are one stroke. */
const ONE_STROKE_PART = 0.45;

const ONE_STROKE_S = [0.35, 0.7] as const;

/**
 * Counts strokes.
 * @param load force (N), pressure difference (kPa) or raw that rises with pressure, of one hand; NaN where missing
 * @param grid sample k lies at startS + k / rateHz
 * Returns the strokes in the order of time; an empty list where nothing stands out or the series is too short. A stroke
 * cut off by an end of the series is none.
 */
export function countStrokes(
  load: Float64Array,
  grid: { readonly startS: number; readonly rateHz: number },
): readonly CountedStroke[] {
  const whole = bridged(load);
  if (whole === null || whole.length < WINDOW_S * grid.rateHz) return [];
  const smooth = smoothed(smoothed(whole, grid.rateHz), grid.rateHz);
  const low = lowLevel(smooth, grid.rateHz);
  const above = smooth.map((value, k) => value - low[k]!);
  const level = levelOf(above, grid.rateHz);
  const noise = MAD_TO_SD * median(whole.map((value, k) => Math.abs(value - smooth[k]!)))!;
  if (!(level > 0) || level < LEAST_CLEAR * noise) return [];
  const pulses = proposePropulsion(above, grid, {
    ...PULSE,
    leastPeakN: LEAST_PEAK * level,
  });
  if (!pulses.ok) return [];
  return joined(pulses.value).map(({ startS, endS }) => ({
    startS,
    endS,
    ...peakIn(load, grid, startS, endS),
  }));
}

/** Missing samples as straight lines; null where none is there. */
function bridged(load: Float64Array): Float64Array | null {
  const whole = load.slice();
  let before = -1;
  for (let k = 0; k < whole.length; k++) {
    if (!Number.isFinite(whole[k]!)) continue;
    const from = before < 0 ? whole[k]! : whole[before]!;
    for (let gap = before + 1; gap < k; gap++)
      whole[gap] = from + ((whole[k]! - from) * (gap - before)) / (k - before);
    before = k;
  }
  if (before < 0) return null;
  return whole.fill(whole[before]!, before + 1);
}

/** Moving mean, its window cut short at the ends. */
function smoothed(values: Float64Array, rateHz: number): Float64Array {
  const half = Math.max(1, Math.round((SMOOTH_S * rateHz) / 2));
  const base = values[0]!;
  const sums = new Float64Array(values.length + 1);
  for (let k = 0; k < values.length; k++) sums[k + 1] = sums[k]! + (values[k]! - base);
  return values.map((_, k) => {
    const [from, end] = [Math.max(0, k - half), Math.min(values.length, k + half + 1)];
    return base + (sums[end]! - sums[from]!) / (end - from);
  });
}

/** The level that the load falls back to around each sample: where the zero lies, however it drifts. */
function lowLevel(smooth: Float64Array, rateHz: number): Float64Array {
  const step = Math.max(1, Math.round(LOW_STEP_S * rateHz));
  const reach = Math.max(1, Math.round(LOW_WITHIN_S / LOW_STEP_S));
  const coarse = Float64Array.from({ length: Math.ceil(smooth.length / step) }, (_, k) => smooth[k * step]!);
  const lows = coarse.map((_, k) => {
    const near = coarse.slice(Math.max(0, k - reach), k + reach + 1).sort();
    return near[Math.floor(LOW_PART * (near.length - 1))]!;
  });
  return smooth.map((_, k) => {
    const at = Math.min(k / step, lows.length - 1);
    const left = Math.floor(at);
    return lows[left]! + (at - left) * ((lows[left + 1] ?? lows[left]!) - lows[left]!);
  });
}

/**
 * The usual peak of a stroke: the median of the peaks of all windows that belong to the swim. A load that does not last
 * as long as a stroke, such as a knock, makes no window part of it.
 */
function levelOf(above: Float64Array, rateHz: number): number {
  const width = Math.round(WINDOW_S * rateHz);
  const step = Math.max(1, Math.round(LOW_STEP_S * rateHz));
  const lasting = Math.round((LASTING_S * rateHz) / step) * step;
  const windows: { readonly peak: number; readonly lasts: number }[] = [];
  for (let from = 0; from + width <= above.length; from += width) {
    const peak = above.subarray(from, from + width).reduce((most, value) => Math.max(most, value));
    let lasts = 0;
    for (let first = from; first < from + width; first += step) {
      let least = Infinity;
      for (let k = first; k <= first + lasting; k += step) least = Math.min(least, above[k] ?? 0);
      lasts = Math.max(lasts, least);
    }
    windows.push({ peak, lasts });
  }
  const reference = windows.reduce((most, { lasts }) => Math.max(most, lasts), 0);
  const swim = windows.filter(({ lasts }) => lasts >= SWIM_PART * reference);
  return median(swim.map(({ peak }) => peak)) ?? 0;
}

interface Pulse {
  readonly startS: number;
  readonly endS: number;
  readonly peakS: number;
  readonly peakN: number;
}

/** Puts the pulses of one stroke together: pull and push, where the load between them falls off. */
function joined(pulses: readonly Pulse[]): readonly Pulse[] {
  const intervals = pulses.slice(1).map(({ peakS }, k) => peakS - pulses[k]!.peakS);
  // Where every stroke has two pulses, half the intervals are within a stroke: the longer ones tell the cycle.
  const usual = intervals.toSorted((a, b) => a - b)[Math.ceil(0.75 * (intervals.length - 1))] ?? 0;
  const near = Math.min(Math.max(ONE_STROKE_PART * usual, ONE_STROKE_S[0]), ONE_STROKE_S[1]);
  const strokes: Pulse[] = [];
  for (const pulse of pulses) {
    const last = strokes.at(-1);
    if (last === undefined || pulse.peakS - last.peakS >= near) strokes.push(pulse);
    else {
      const higher = pulse.peakN > last.peakN ? pulse : last;
      strokes[strokes.length - 1] = { ...higher, startS: last.startS, endS: pulse.endS };
    }
  }
  return strokes;
}

function peakIn(
  load: Float64Array,
  grid: { readonly startS: number; readonly rateHz: number },
  startS: number,
  endS: number,
): { readonly peakS: number; readonly peakN: number } {
  const at = (timeS: number) => Math.round((timeS - grid.startS) * grid.rateHz);
  let peak = at(startS);
  for (let k = peak; k <= at(endS); k++) if (load[k]! > load[peak]! || Number.isNaN(load[peak]!)) peak = k;
  return { peakS: grid.startS + peak / grid.rateHz, peakN: load[peak]! };
}
