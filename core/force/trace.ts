/**
 * From the rows of a trace file to equally spaced samples: which samples are taken, the sampling rate, gaps and how
 * they are filled. Contract: formats.md section 1, traces.
 */
import type { RawSeries, TraceS } from '../base/units.ts';
import type { Hand } from '../base/hand.ts';
import { medianInPlace } from '../base/statistics.ts';
import { Scratch, takeSeries } from '../base/series.ts';
import type { Refusal } from '../base/refusal.ts';
import { RefusedRuns } from '../base/refusedruns.ts';

/** Rows of a trace file in the file's order; raw values in the sensor's raw unit, NaN for a missing sample. */
export interface TraceRows {
  /** Row times, s; null where the file has no time column and the rate is known. */
  readonly timeS: Float64Array | null;
  /** Sampling rate where `timeS` is null, Hz. */
  readonly rateHz: number | null;
  /** Physical line of each row. */
  readonly lines: Uint32Array;
  readonly left: RawSeries | null;
  readonly right: RawSeries | null;
}

/** A filled stretch: the samples first…last, counted on the grid, had no value of their own. */
export interface Gap {
  readonly first: number;
  readonly last: number;
}

/** One hand's samples on the grid, gaps filled; raw. */
export interface Channel {
  readonly raw: RawSeries;
  readonly gaps: readonly Gap[];
  /** Samples that carried a value. */
  readonly measured: number;
  /** The samples as they were read, where they had to be brought to the grid; null where they lie on it. */
  readonly asRead: { readonly timeS: Float64Array; readonly raw: Float64Array } | null;
}

/** A trace on its grid: sample k lies at startS + k / rateHz. */
export interface SampledTrace {
  readonly startS: TraceS;
  readonly rateHz: number;
  readonly count: number;
  /** True where the times left the grid by more than half a step and were brought to it. */
  readonly resampled: boolean;
  readonly left: Channel | null;
  readonly right: Channel | null;
}

export interface Sampling {
  readonly trace: SampledTrace | null;
  readonly refused: readonly Refusal[];
  /** Why there is no trace; null where there is one. */
  readonly fault: string | null;
}

/** Time of the last sample, s. */
export function traceEndS(trace: Pick<SampledTrace, 'startS' | 'rateHz' | 'count'>): TraceS {
  return trace.startS + (trace.count - 1) / trace.rateHz;
}

/** A leap in time that would need more filled samples than this many times the rows is no gap but a broken clock. */
const MOST_FILLED_PER_ROW = 20;

const ALWAYS_ALLOWED = 1_000_000;

/**
 * Puts the rows of a trace on an equally spaced grid.
 * A row not later than the last one taken is refused alone, and so is one later than the row after it where that one is
 * later than the last taken. The rate is N / (last − first) with N = Σ max(1, round(step / median step)), halves to even.
 * @param file the trace's path inside the day, for refusals
 */
export function sampleRows(rows: TraceRows, file = ''): Sampling {
  const { taken, refused } = rows.timeS === null ? takeAll(rows) : takeIncreasing(rows, rows.timeS, file);
  const none = (fault: string): Sampling => ({ trace: null, refused, fault });
  if (taken.length < 2) return none('it holds fewer than two samples');
  const grid = rows.timeS === null ? rateGrid(rows, taken) : timeGrid(rows.timeS, taken);
  if (grid.steps > MOST_FILLED_PER_ROW * taken.length + ALWAYS_ALLOWED)
    return none(
      `its time leaps so far that ${grid.steps} samples would have to be filled; correct the time column`,
    );
  const channel = (hand: Hand) => {
    const values = rows[hand];
    return values === null ? null : toChannel(values, taken, grid);
  };
  const trace = {
    startS: grid.startS,
    rateHz: grid.rateHz,
    count: grid.steps + 1,
    resampled: grid.resampled,
    left: channel('left'),
    right: channel('right'),
  };
  return { trace, refused, fault: null };
}

const steps = new Scratch();

/** Which rows are taken: these, in their order, or, as nearly always, every one. */
interface Taken {
  readonly length: number;
  readonly rows: Uint32Array | null;
}

function takeAll(rows: TraceRows): { taken: Taken; refused: Refusal[] } {
  return { taken: { length: rows.lines.length, rows: null }, refused: [] };
}

/** True where every time is later than the one before it. */
function isIncreasing(timeS: Float64Array): boolean {
  let last = -Infinity;
  for (let i = 0; i < timeS.length; i++) {
    const time = timeS[i]!;
    if (!(time > last)) return false;
    last = time;
  }
  return true;
}

function takeIncreasing(
  rows: TraceRows,
  timeS: Float64Array,
  file: string,
): { taken: Taken; refused: Refusal[] } {
  if (isIncreasing(timeS)) return takeAll(rows);
  const taken = new Uint32Array(timeS.length);
  const refused = new RefusedRuns(file);
  let count = 0;
  let last = -Infinity;
  for (let i = 0; i < timeS.length; i++) {
    const time = timeS[i]!;
    const next = i + 1 < timeS.length ? timeS[i + 1]! : Infinity;
    // A sample later than the next is wrong only where the next is not: where that one fits what was taken before.
    if (time <= last || (time > next && next > last)) {
      const isBack = time <= last;
      const before = last;
      refused.add(rows.lines[i]!, 'time', isBack ? 'back' : 'ahead', () => {
        const than = isBack
          ? `is not later than the sample before it (${before} s)`
          : `is later than the sample after it (${next} s)`;
        return `The time ${time} s ${than}; this sample was left out.`;
      });
      continue;
    }
    taken[count++] = i;
    last = time;
  }
  return { taken: { length: count, rows: taken.subarray(0, count) }, refused: refused.list() };
}

interface Grid {
  readonly startS: number;
  readonly rateHz: number;
  /** Number of steps N; the grid has N + 1 samples. */
  readonly steps: number;
  /** Grid index of each taken row; null where they stand on neighbouring places, as rows of a whole trace do. */
  readonly index: Float64Array | null;
  /** Times of the taken rows, s; null where they lie on the grid. */
  readonly offGridS: Float64Array | null;
  readonly resampled: boolean;
}

function rateGrid(rows: TraceRows, taken: Taken): Grid {
  const rateHz = rows.rateHz!;
  return { startS: 0, rateHz, steps: taken.length - 1, index: null, offGridS: null, resampled: false };
}

function timeGrid(timeS: Float64Array, taken: Taken): Grid {
  const times = taken.rows === null ? timeS.subarray(0, taken.length) : picked(timeS, taken.rows);
  const stepsS = steps.take(times.length - 1);
  for (let i = 0; i < stepsS.length; i++) stepsS[i] = times[i + 1]! - times[i]!;
  const index = gridIndex(times, medianInPlace(stepsS)!);
  const startS = times[0]!;
  const count = index === null ? times.length - 1 : index.at(-1)!;
  const rateHz = count / (times.at(-1)! - startS);
  let worst = 0;
  for (let i = 0; i < times.length; i++) {
    const off = Math.abs((times[i]! - startS) * rateHz - (index === null ? i : index[i]!));
    if (off > worst) worst = off;
  }
  const resampled = worst > 0.5 + 1e-9;
  return { startS, rateHz, steps: count, index, offGridS: resampled ? times : null, resampled };
}

function picked(values: Float64Array, rows: Uint32Array): Float64Array {
  const some = new Float64Array(rows.length);
  for (let i = 0; i < some.length; i++) some[i] = values[rows[i]!]!;
  return some;
}

/** Grid index of each row, from the steps between their times; null where every step is one. */
function gridIndex(times: Float64Array, typical: number): Float64Array | null {
  const last = times.length - 1;
  let ones = 0;
  while (ones < last && (times[ones + 1]! - times[ones]!) / typical < 1.5) ones++;
  if (ones === last) return null;
  const index = new Float64Array(times.length);
  for (let i = 0; i < last; i++)
    index[i + 1] = index[i]! + Math.max(1, roundHalfEven((times[i + 1]! - times[i]!) / typical));
  return index;
}

/** Rounds halves to the even neighbour, as IEEE 754 and numerical libraries do. */
function roundHalfEven(value: number): number {
  const floor = Math.floor(value);
  const rest = value - floor;
  if (rest !== 0.5) return Math.round(value);
  return floor % 2 === 0 ? floor : floor + 1;
}

/** Fills one hand's samples on the grid: straight lines between neighbours, the nearest value at the ends. */
function toChannel(all: Float64Array, taken: Taken, grid: Grid): Channel | null {
  const values = taken.rows === null ? all.subarray(0, taken.length) : picked(all, taken.rows);
  return wholeChannel(values, grid) ?? filledChannel(values, grid);
}

/** A hand whose rows stand on the grid with a value each: nothing is to be filled. Null for any other. */
function wholeChannel(values: Float64Array, grid: Grid): Channel | null {
  if (grid.index !== null || grid.offGridS !== null) return null;
  for (let i = 0; i < values.length; i++) if (Number.isNaN(values[i]!)) return null;
  const raw = takeSeries(values.length);
  raw.set(values);
  return { raw, gaps: [], measured: raw.length, asRead: null };
}

function filledChannel(values: Float64Array, grid: Grid): Channel | null {
  const raw = new Float64Array(grid.steps + 1);
  const gaps: Gap[] = [];
  let measured = 0;
  let filledTo = -1;
  let before = -1;
  const { index, offGridS } = grid;
  const place = (i: number) => (index === null ? i : index[i]!);
  const at = (i: number) => (offGridS === null ? place(i) : (offGridS[i]! - grid.startS) * grid.rateHz);
  const noteGap = (first: number, last: number) => {
    if (last >= first) gaps.push({ first, last });
  };
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (Number.isNaN(value)) continue;
    measured++;
    const here = at(i);
    // A grid sample within a billionth of a step of a measured one is that measured one.
    const reach = Math.min(grid.steps, Math.floor(here + 1e-9));
    if (before < 0) raw.fill(value, 0, reach + 1);
    else {
      const from = at(before);
      const start = values[before]!;
      const slope = (value - start) / (here - from);
      for (let k = filledTo + 1; k <= reach; k++) raw[k] = k === here ? value : start + slope * (k - from);
    }
    noteGap(before < 0 ? 0 : place(before) + 1, place(i) - 1);
    filledTo = reach;
    before = i;
  }
  if (before < 0) return null;
  raw.fill(values[before]!, filledTo + 1);
  noteGap(place(before) + 1, grid.steps);
  return { raw, gaps, measured, asRead: asReadOf(values, grid, measured) };
}

function asReadOf(values: Float64Array, { offGridS }: Grid, measured: number): Channel['asRead'] {
  if (offGridS === null) return null;
  const [timeS, raw] = [new Float64Array(measured), new Float64Array(measured)];
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (Number.isNaN(value)) continue;
    timeS[count] = offGridS[i]!;
    raw[count++] = value;
  }
  return { timeS, raw };
}
