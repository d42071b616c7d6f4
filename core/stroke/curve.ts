/**
 * A hand's strokes laid over one another on 0–100 % of the cycle, their mean and standard deviation, and the shift that
 * brings two trials together at a chosen event. Time normalisation by straight lines between samples, 101 points
 * (common practice, no source).
 */
import type { SampledTrace, Gap } from '../force/trace.ts';
import { touchesGap } from '../force/gaps.ts';
import { type Stroke, strokesOf, eventWords, type Marks, type EventName } from './stroke.ts';
import type { Hand } from '../base/hand.ts';
import { mean, standardDeviation } from '../base/statistics.ts';
import { type Measured, rootSumSquares } from '../base/uncertainty.ts';

/** Points of a normalised cycle: 0, 1, … 100 %. */
export const CYCLE_POINTS = 101;

/** The event from which a cycle runs to the same event of the next stroke. */
export type CycleEvent = 'water_entry' | 'propulsion_start';

export interface CycleCurve {
  readonly stroke: number;
  /** s, on the trial's clock. */
  readonly startS: number;
  readonly endS: number;
  /** The series at 0, 1, … 100 % of the cycle, in its own unit. */
  readonly values: Float64Array;
}

/** A stroke without a curve, and why, one sentence. */
export interface LeftOut {
  readonly stroke: number;
  readonly reason: string;
}

export interface HandCurves {
  readonly curves: readonly CycleCurve[];
  readonly leftOut: readonly LeftOut[];
}

/**
 * The cycles of a hand's strokes. A cycle runs to the next stroke's event, the numbers following one another.
 * @param series on the trace's grid, any unit
 * @param gaps stretches filled that no curve may touch (`longGaps`)
 */
export function handCurves(
  series: Float64Array,
  trace: SampledTrace,
  gaps: readonly Gap[],
  strokes: readonly Stroke[],
  hand: Hand,
  event: CycleEvent,
): HandCurves {
  const curves: CycleCurve[] = [];
  const leftOut: LeftOut[] = [];
  const own = strokesOf(strokes, hand);
  for (const { number, marks, exclusionReason } of own) {
    const without = (reason: string) => leftOut.push({ stroke: number, reason });
    const startS = marks[event]?.timeS;
    const endS = own.find((other) => other.number === number + 1)?.marks[event]?.timeS;
    if (exclusionReason !== null) without(`Left out: ${exclusionReason}.`);
    else if (startS === undefined) without(`Its ${eventWords(event)} is not marked.`);
    else if (endS === undefined)
      without(`The ${eventWords(event)} of stroke ${number + 1}, which ends its cycle, is not marked.`);
    else if (gaps.some((gap) => touchesGap(trace, gap, startS, endS)))
      without('Its cycle touches a stretch of missing samples.');
    else {
      const values = normaliseCycle(series, trace, startS, endS);
      if (values === null) without('Its cycle leaves the trace.');
      else curves.push({ stroke: number, startS, endS, values });
    }
  }
  return { curves, leftOut };
}

/**
 * A series between two times (s) at evenly spread points, both ends among them, by straight lines between samples.
 * Null where the times leave the series or do not follow one another.
 */
export function normaliseCycle(
  series: Float64Array,
  grid: Pick<SampledTrace, 'startS' | 'rateHz'>,
  startS: number,
  endS: number,
): Float64Array | null {
  const last = series.length - 1;
  const [from, to] = [startS, endS].map((timeS) => (timeS - grid.startS) * grid.rateHz) as [number, number];
  const slack = 1e-9 * grid.rateHz;
  if (!(to > from) || from < -slack || to > last + slack) return null;
  return Float64Array.from({ length: CYCLE_POINTS }, (_, p) => {
    const at = Math.min(last, Math.max(0, from + ((to - from) * p) / (CYCLE_POINTS - 1)));
    const k = Math.min(Math.floor(at), last - 1);
    return series[k]! + (series[k + 1]! - series[k]!) * (at - k);
  });
}

/** Mean and standard deviation of curves point by point, in their unit. */
export interface MeanCurve {
  readonly n: number;
  readonly mean: Float64Array;
  /** On n − 1 degrees of freedom; null below two curves. */
  readonly sd: Float64Array | null;
}

/** Mean ± SD of curves; null without one. */
export function meanCurve(curves: readonly Pick<CycleCurve, 'values'>[]): MeanCurve | null {
  const n = curves.length;
  if (n === 0) return null;
  const at = (p: number) => curves.map(({ values }) => values[p]!);
  const points = curves[0]!.values;
  return {
    n,
    mean: points.map((_, p) => mean(at(p))!),
    sd: n < 2 ? null : points.map((_, p) => standardDeviation(at(p))!),
  };
}

/**
 * What to add to the times of another stroke's trial so that a chosen event falls on that of this one, s, with the
 * standard uncertainty of both marks. Null where one of them is not marked.
 */
export function alignmentShift(onto: Marks, other: Marks, event: EventName): Measured | null {
  const [here, there] = [onto[event], other[event]];
  if (here === undefined || there === undefined) return null;
  return { value: here.timeS - there.timeS, u: rootSumSquares([here.uS, there.uS]) };
}
