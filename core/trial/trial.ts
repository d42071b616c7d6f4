/**
 * One trial, from samples, marks and section times to its numbers. Everything here follows formats.md section 2;
 * the parts live in `force`, `timing`, `coordination`, `trialcheck` and `uncertainty`.
 */
import type { NewtonSeries } from '../base/units.ts';
import type {
  TrialInput,
  SeriesInput,
  TrialSeries,
  HandSeries,
  TrialResult,
  HandResult,
  StrokeResult,
  PropulsionBasis,
} from './result.ts';
import { type Hand, HANDS } from '../base/hand.ts';
import { type Flag, orderFlags } from '../stroke/flags.ts';
import { pressureDifference, handForce, forceSymmetry } from '../force/force.ts';
import { forceU, impulseU, type ForceSpread } from '../force/uncertainty.ts';
import {
  cycleTime,
  velocity,
  meanOf,
  strokeRate,
  strokeLength,
  commonEntryPosition,
  highHandTime,
  meanHighHand,
  phaseShares,
} from '../stroke/timing.ts';
import { strokesOf, type Stroke, liesInSection, strokeCounts } from '../stroke/stroke.ts';
import { trialCoordination, handOver, coordinationPct } from '../stroke/coordination.ts';
import { sectionLengthM } from '../protocol/protocol.ts';
import type { Measured } from '../base/uncertainty.ts';
import { checkTrial } from './check.ts';
import { evidenceOf, trialFlags } from './flags.ts';
import { forcesOf, type StrokeForces } from './forces.ts';
import { handSpread, scaleOf, shiftOf, zeroOf } from './hand.ts';

/** What each hand's force is, or why there is none. */
export function trialSeries(input: SeriesInput): TrialSeries {
  return { left: handSeries(input, 'left'), right: handSeries(input, 'right') };
}

/** Force of both hands, N, on the trace's grid; null for a hand without a force. For drawing. */
export function trialForces(input: TrialInput): Readonly<Record<Hand, NewtonSeries | null>> {
  const { left, right } = trialSeries(input);
  return { left: left.forceN, right: right.forceN };
}

function handSeries(input: SeriesInput, hand: Hand): HandSeries {
  const { trace } = input;
  const about = input.hands[hand];
  const { elsewhere, areaCm2 } = about;
  const nothing = { channel: null, pressureKpa: null, forceN: null };
  if (trace === null) return { ...nothing, fault: 'no_trace' };
  const channel = trace[hand];
  if (channel === null) return { ...nothing, fault: 'one_channel' };
  const without = (fault: Flag): HandSeries => ({ ...nothing, channel, fault });
  const scale = scaleOf(about);
  if (scale === null) return without('no_calibration');
  const { filter } = input.protocol;
  const applied = elsewhere === null || elsewhere.filter ? filter : ({ kind: 'none' } as const);
  const series = pressureDifference(channel.raw, trace.rateHz, zeroOf(about), scale, applied);
  if (typeof series === 'string') return without(series);
  if (elsewhere?.quantity === 'force') {
    // The scale was raw per N, so what came of it is a force.
    const forceN: Float64Array = series;
    return { channel, pressureKpa: null, forceN, fault: null };
  }
  if (areaCm2 === null) return { channel, pressureKpa: series, forceN: null, fault: 'no_hand_area' };
  return { channel, pressureKpa: series, forceN: handForce(series, areaCm2), fault: null };
}

/** Computes a trial; `series` is {@link trialSeries} of the same input, where it was computed before. */
export function analyseTrial(input: TrialInput, series: TrialSeries = trialSeries(input)): TrialResult {
  const { protocol, section, strokes } = input;
  const cycle = section === null ? null : cycleTime(strokes, section);
  const spreads = { left: handSpread(input, 'left'), right: handSpread(input, 'right') };
  const results = HANDS.flatMap((hand) =>
    strokesOf(strokes, hand).map((stroke) =>
      analyseStroke(stroke, input, forcesOf(stroke, input, series[hand], spreads[hand]), cycle),
    ),
  );
  const counted = results.filter((result) => result.counts);
  const overs = counted.flatMap((result) => result.handOver ?? []);
  const coordination = cycle === null ? null : trialCoordination(overs, cycle);
  const sectionM = sectionLengthM(protocol);
  const speed =
    section === null || sectionM === null
      ? null
      : velocity(sectionM, section, {
          sectionUM: protocol.sectionUM,
          timingUS: input.timingUS,
          speedVariationPct: protocol.speedVariationPct,
          cycleTimeS: cycle?.value ?? null,
        });
  const hand = (which: Hand): HandResult => {
    const own = counted.filter((result) => result.stroke.hand === which);
    return {
      ...meanForces(own, spreads[which]),
      zeroShiftKpa: shiftOf(input.hands[which]),
      strokes: own.length,
      idcPct: (which === 'left' ? coordination?.leftPct : coordination?.rightPct) ?? null,
    };
  };
  const hands = { left: hand('left'), right: hand('right') };
  const bare = {
    sectionM,
    sectionTimeS: section === null ? null : section.endS - section.startS,
    velocity: speed,
    cycleTime: cycle,
    strokeRate: cycle === null ? null : strokeRate(cycle),
    strokeLength: cycle === null || speed === null ? null : strokeLength(speed, cycle),
    idc: coordination?.both ?? null,
    highHand: meanHighHand(counted.flatMap((result) => result.highHand ?? [])),
    entryPosition: commonEntryPosition(counted.map((result) => result.stroke)),
    hands,
    forceSymmetry: forceSymmetry(hands.left.meanForce, hands.right.meanForce),
    clock: input.clock,
    propulsionBasis: propulsionBasis(strokes),
    rater: input.rater,
    strokesMeasured: counted.filter(({ stroke }) => stroke.entryHeightCm !== null).length,
    strokesJudged: counted.filter(({ stroke }) => isJudgedAlone(stroke)).length,
    strokes: results,
    check: checkTrial(evidenceOf(input, series, results), protocol.accept),
  };
  return { ...bare, flags: trialFlags(input, series, bare) };
}

/** True where a stroke has an entry position and no height that it was measured by. */
function isJudgedAlone({ entryPosition, entryHeightCm }: Stroke): boolean {
  return entryHeightCm === null && entryPosition !== null && entryPosition !== 'undecided';
}

/**
 * Means of a hand's forces over strokes. Their uncertainty is that of one force at the mean, for everything that makes a
 * force uncertain is shared by the strokes.
 */
function meanForces(
  strokes: readonly StrokeResult[],
  spread: ForceSpread,
): Pick<HandResult, 'peakForce' | 'meanForce' | 'impulse'> {
  const withForce = strokes.filter(({ impulse }) => impulse !== null);
  const force = (value: number | null): Measured | null =>
    value === null ? null : { value, u: forceU(value, spread) };
  const impulseNs = meanOf(withForce.map(({ impulse }) => impulse!.value));
  const durationS = meanOf(withForce.map(({ stroke }) => propulsionS(stroke)));
  return {
    peakForce: force(meanOf(strokes.map(({ peakForce }) => peakForce?.value ?? null))),
    meanForce: force(meanOf(strokes.map(({ meanForce }) => meanForce?.value ?? null))),
    impulse:
      impulseNs === null || durationS === null
        ? null
        : { value: impulseNs, u: impulseU(impulseNs, durationS, spread) },
  };
}

function propulsionS({ marks }: Stroke): number {
  return marks.propulsion_end!.timeS - marks.propulsion_start!.timeS;
}

function analyseStroke(
  stroke: Stroke,
  input: TrialInput,
  { flags: forceFlags, ...forces }: StrokeForces,
  cycle: Measured | null,
): StrokeResult {
  const flags: Flag[] = [...forceFlags];
  const { propulsion_start: start, propulsion_end: end } = stroke.marks;
  if (start === undefined || end === undefined) flags.push('no_propulsion');
  const over = cycle === null ? null : handOver(stroke, input.strokes, cycle.value);
  if (start !== undefined && over === null) flags.push(cycle === null ? 'no_cycle' : 'no_partner');
  const highHand = highHandTime(stroke);
  if (highHand === null) flags.push('no_high_hand');
  const next = input.strokes.find(
    (other) => other.hand === stroke.hand && other.number === stroke.number + 1,
  );
  const phases = phaseShares(stroke, next ?? null);
  if (Object.values(phases).includes(null)) flags.push('no_phases');
  const marks = Object.values(stroke.marks);
  if (
    marks.some((mark) => mark.uS === null) ||
    (highHand !== null && highHand.value > 0 && highHand.u === null)
  )
    flags.push('no_mark_u');
  return {
    stroke,
    inSection: liesInSection(stroke, input.section),
    counts: strokeCounts(stroke, input.section),
    handOver: over,
    idcPct: over === null || cycle === null ? null : coordinationPct(over, cycle.value),
    highHand,
    ...phases,
    ...forces,
    flags: orderFlags(flags),
  };
}

function propulsionBasis(strokes: readonly Stroke[]): PropulsionBasis | null {
  const clocks = new Set(strokes.flatMap(({ propulsionClocks }) => propulsionClocks));
  if (clocks.size === 0) return null;
  if (clocks.size === 2) return 'mixed';
  return clocks.has('trace') ? 'force' : 'video';
}
