/** A trial's strokes on 0–100 % of the cycle: which curves there are, their mean and spread, and why some are missing. */
import type { Hand } from '../../../core/base/hand.ts';
import type { StrokeResult } from '../../../core/trial/result.ts';
import {
  CYCLE_POINTS,
  handCurves,
  meanCurve,
  type CycleCurve,
  type CycleEvent,
  type LeftOut,
  type MeanCurve,
} from '../../../core/stroke/curve.ts';
import type { TraceView, TrialView } from '../../../core/contract/views.ts';
import { formatNumber, formatValue } from '../../format.ts';
import type { Samples } from '../samples.ts';

export interface Cycles {
  /** Curves of the strokes that count. */
  readonly curves: readonly CycleCurve[];
  readonly leftOut: readonly LeftOut[];
  readonly mean: MeanCurve | null;
  /** Why there is no curve at all; null where there is one. */
  readonly reason: string | null;
}

type Seen = Pick<TrialView, 'trace'> & { readonly result: Pick<TrialView['result'], 'strokes'> };

/** The curves of one hand over the strokes that count. */
export function cyclesOf(view: Seen, samples: Samples, hand: Hand, event: CycleEvent): Cycles {
  const none = (reason: string): Cycles => ({ curves: [], leftOut: [], mean: null, reason });
  const { trace } = view;
  if (trace === null) return none('This trial has no readable trace.');
  if (!trace.hasForce[hand]) return none(`The ${hand} hand has no force; the flags of the trial say why.`);
  const force = samples[hand];
  if (force === null) return none('The force samples are not there yet.');
  const own = view.result.strokes.filter(({ stroke }) => stroke.hand === hand);
  if (own.length === 0) return none(`No stroke of the ${hand} hand is marked yet.`);
  const found = handCurves(
    force,
    asSampled(trace),
    gapsOf(trace, hand),
    own.map(({ stroke }) => stroke),
    hand,
    event,
  );
  const counts = new Set(own.filter((result) => result.counts).map(({ stroke }) => stroke.number));
  const curves = found.curves.filter(({ stroke }) => counts.has(stroke));
  const leftOut = [...found.leftOut, ...notCounted(found.curves, counts, own)];
  const reason = curves.length > 0 ? null : `No stroke of the ${hand} hand that counts has a whole cycle.`;
  return {
    curves,
    leftOut: leftOut.toSorted((a, b) => a.stroke - b.stroke),
    mean: meanCurve(curves),
    reason,
  };
}

function notCounted(
  curves: readonly CycleCurve[],
  counts: ReadonlySet<number>,
  own: readonly StrokeResult[],
): readonly LeftOut[] {
  return curves
    .filter(({ stroke }) => !counts.has(stroke))
    .map(({ stroke }) => {
      const inSection = own.find((result) => result.stroke.number === stroke)!.inSection;
      return {
        stroke,
        reason: inSection ? 'It does not count.' : 'Its propulsion does not lie in the measured section.',
      };
    });
}

function asSampled(trace: TraceView) {
  const { startS, rateHz, count } = trace;
  return { startS, rateHz, count, resampled: false, left: null, right: null };
}

function gapsOf(trace: TraceView, hand: Hand) {
  const at = (timeS: number) => Math.round((timeS - trace.startS) * trace.rateHz);
  return trace.gaps[hand].map(({ startS, endS }) => ({ first: at(startS), last: at(endS) }));
}

/** Where a mean curve is highest: its place in the cycle, %, and its force and SD there, N. */
export interface Peak {
  readonly pct: number;
  readonly forceN: number;
  readonly sdN: number | null;
}

export function peakOf(mean: MeanCurve): Peak {
  let at = 0;
  for (let p = 1; p < mean.mean.length; p++) if (mean.mean[p]! > mean.mean[at]!) at = p;
  return { pct: pctOf(at), forceN: mean.mean[at]!, sdN: mean.sd?.[at] ?? null };
}

/** Place of a curve's point in the cycle, %. */
export function pctOf(point: number): number {
  return (100 * point) / (CYCLE_POINTS - 1);
}

/** A hand's curve in words. */
export function cyclesSentence(hand: Hand, cycles: Cycles): string {
  const name = hand === 'left' ? 'Left hand' : 'Right hand';
  if (cycles.mean === null) return `${name}: ${cycles.reason}`;
  const { pct, forceN, sdN } = peakOf(cycles.mean);
  const spread =
    sdN === null
      ? 'one stroke has no standard deviation'
      : `standard deviation ${formatValue(sdN, 'N')} there`;
  const strokes = cycles.mean.n === 1 ? '1 stroke' : `${cycles.mean.n} strokes`;
  return `${name}: ${strokes}, the mean curve is highest at ${formatNumber(pct, 0)}\u00a0% of the cycle with ${formatValue(forceN, 'N')}, ${spread}.`;
}
