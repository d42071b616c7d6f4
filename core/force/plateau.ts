/**
 * Plateaus of a recorded raw series: stretches where the reading holds still, so that their mean becomes a
 * calibration point. A stretch is still where the scatter in a moving window stays near the noise; the noise is
 * estimated from the differences of neighbouring samples by their median absolute deviation, which steps do not
 * move (Rousseeuw & Croux 1993, J Am Stat Assoc 88:1273–1283, for the factor 1.4826).
 */
import { standardDeviation, median } from '../base/statistics.ts';

/** A stretch of the series, both ends included. */
export interface Plateau {
  readonly firstSample: number;
  readonly lastSample: number;
  readonly startS: number;
  readonly endS: number;
  /** raw. */
  readonly mean: number;
  /** Standard deviation of the samples, raw; null for one sample. */
  readonly sd: number | null;
  readonly count: number;
}

/** Where the samples lie in time: sample k at startS + k / rateHz. */
export interface SampleGrid {
  readonly startS: number;
  readonly rateHz: number;
}

export interface PlateauSearch {
  /** Shortest plateau, s. */
  readonly leastS: number;
  /** Moving window, s. */
  readonly windowS: number;
  /** Scatter that still counts as still, times the noise. */
  readonly quietness: number;
}

/** Two seconds at rest, looked at in half-seconds (common practice, no source). */
export const DEFAULT_PLATEAU_SEARCH: PlateauSearch = { leastS: 2, windowS: 0.5, quietness: 3 };

const MAD_TO_SD = 1.4826;

/** Slow noise that neighbouring samples do not show is allowed for up to this part of the whole range. */
const SLOW_NOISE = 0.002;

/** A plateau may wander by this part of the whole range. */
const WANDER = 0.01;

/**
 * Proposes plateaus, in the order of time. They leave a whole window free at either end, where the reading settles.
 * @param samples raw; a sample that is NaN belongs to no plateau
 * Returns an empty list where nothing holds still for long enough.
 */
export function proposePlateaus(
  samples: Float64Array,
  grid: SampleGrid,
  search: PlateauSearch = DEFAULT_PLATEAU_SEARCH,
): readonly Plateau[] {
  const width = Math.max(4, Math.round(search.windowS * grid.rateHz));
  const least = Math.max(width, Math.round(search.leastS * grid.rateHz));
  if (samples.length < least) return [];
  const windows = windowScatter(samples, width);
  const finite = samples.filter(Number.isFinite);
  if (finite.length === 0) return [];
  const range =
    finite.reduce((most, value) => Math.max(most, value), -Infinity) -
    finite.reduce((low, value) => Math.min(low, value), Infinity);
  const calm = quantile(windows.sd.filter(Number.isFinite), 0.2);
  const noise = Math.max(differenceNoise(finite), Math.min(calm, SLOW_NOISE * range));
  const wander = Math.max(search.quietness * noise, WANDER * range);
  const plateaus: Plateau[] = [];
  for (const [from, to] of quietRuns(windows.sd, search.quietness * noise)) {
    const run = steadiest(windows.mean, from, to, wander);
    if (run === null) continue;
    // What begins or ends with the record was not seen to settle and needs no room.
    const first = run[0] === 0 ? 0 : run[0] + width;
    const end = run[1] + width - 1;
    const last = end === samples.length - 1 ? end : end - width;
    if (last - first + 1 >= least) plateaus.push(summarise(samples, grid, first, last));
  }
  return plateaus;
}

/**
 * A plateau between bounds that a person chose, s; the samples in the closed interval count. Null where none does.
 * Samples that are NaN are left out of mean, scatter and count.
 */
export function plateauBetween(
  samples: Float64Array,
  grid: SampleGrid,
  startS: number,
  endS: number,
): Plateau | null {
  const slack = 1e-6;
  const first = Math.max(0, Math.ceil((startS - grid.startS) * grid.rateHz - slack));
  const last = Math.min(samples.length - 1, Math.floor((endS - grid.startS) * grid.rateHz + slack));
  if (last < first) return null;
  const plateau = summarise(samples, grid, first, last);
  return plateau.count === 0 ? null : plateau;
}

function summarise(
  samples: Float64Array,
  grid: SampleGrid,
  firstSample: number,
  lastSample: number,
): Plateau {
  const values = samples.subarray(firstSample, lastSample + 1).filter(Number.isFinite);
  const base = values[0] ?? 0;
  return {
    firstSample,
    lastSample,
    startS: grid.startS + firstSample / grid.rateHz,
    endS: grid.startS + lastSample / grid.rateHz,
    mean: base + values.reduce((sum, value) => sum + (value - base), 0) / values.length,
    sd: standardDeviation(values),
    count: values.length,
  };
}

/**
 * Mean and standard deviation of every window of `width` samples, by its first sample, in the unit of the samples; NaN
 * where one is missing.
 */
export function windowScatter(
  samples: Float64Array,
  width: number,
): { readonly mean: Float64Array; readonly sd: Float64Array } {
  const count = Math.max(0, samples.length - width + 1);
  const result = { mean: new Float64Array(count), sd: new Float64Array(count) };
  // Sums about a value of the series keep their digits where the raw values are large.
  const base = samples.find(Number.isFinite) ?? 0;
  let sum = 0;
  let squares = 0;
  let missing = 0;
  const turn = (index: number, sign: 1 | -1) => {
    const value = samples[index]! - base;
    if (!Number.isFinite(value)) {
      missing += sign;
      return;
    }
    sum += sign * value;
    squares += sign * value * value;
  };
  for (let k = 0; k < samples.length; k++) {
    turn(k, 1);
    if (k >= width) turn(k - width, -1);
    const first = k - width + 1;
    if (first < 0) continue;
    result.mean[first] = missing > 0 ? NaN : base + sum / width;
    result.sd[first] =
      missing > 0 ? NaN : Math.sqrt(Math.max(0, (squares - (sum * sum) / width) / (width - 1)));
  }
  return result;
}

/** Noise of one sample, raw, from the differences of neighbours; a quantised still reading has its step's own. */
function differenceNoise(values: Float64Array): number {
  const steps = new Float64Array(Math.max(0, values.length - 1));
  for (let k = 0; k < steps.length; k++) steps[k] = Math.abs(values[k + 1]! - values[k]!);
  const robust = ((median(steps) ?? 0) * MAD_TO_SD) / Math.SQRT2;
  const smallest = steps.reduce((least, step) => (step > 0 && step < least ? step : least), Infinity);
  return robust > 0 || !Number.isFinite(smallest) ? robust : smallest / Math.sqrt(12);
}

function quantile(values: Float64Array, part: number): number {
  return values.length === 0 ? 0 : values.toSorted()[Math.floor(part * (values.length - 1))]!;
}

/** First and last window of every run of windows whose scatter stays within the limit. */
function quietRuns(sd: Float64Array, limit: number): [number, number][] {
  const runs: [number, number][] = [];
  let from = -1;
  for (let k = 0; k <= sd.length; k++) {
    const quiet = k < sd.length && sd[k]! <= limit;
    if (quiet && from < 0) from = k;
    if (!quiet && from >= 0) {
      runs.push([from, k - 1]);
      from = -1;
    }
  }
  return runs;
}

/** The longest stretch of a run in which the windows' means stay within `wander` of the run's median. */
function steadiest(means: Float64Array, from: number, to: number, wander: number): [number, number] | null {
  const centre = median(means.subarray(from, to + 1))!;
  const apart = means.subarray(from, to + 1).map((value) => Math.abs(value - centre));
  const runs = quietRuns(apart, wander);
  const longest = runs.toSorted((a, b) => b[1] - b[0] - (a[1] - a[0]))[0];
  return longest === undefined ? null : [from + longest[0], from + longest[1]];
}
