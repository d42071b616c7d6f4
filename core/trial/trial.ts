/**
 * One trial, from samples, marks and section times to its numbers. Everything here follows formats.md section 2;
 * the parts live in `force`, `timing`, `coordination`, `trialcheck` and `uncertainty`.
 */
import type {
  TrialInput,
  TrialSeries,
  HandSeries,
  TrialResult,
  HandResult,
  StrokeResult,
  PropulsionBasis,
} from './result.ts';
import { type Hand, HANDS } from '../base/hand.ts';
import { type Flag, orderFlags } from '../stroke/flags.ts';
import { zeroLine, zeroShiftKpa } from '../sensor/calibration.ts';
import { pressureDifference, handForce, forceSymmetryPct, strokeForce, peakForceU } from '../force/force.ts';
import {
  cycleTime,
  velocity,
  meanOf,
  strokeRate,
  strokeLength,
  commonEntryPosition,
  highHandTime,
  phaseShares,
} from '../stroke/timing.ts';
import { strokesOf, type Stroke, liesInSection, strokeCounts } from '../stroke/stroke.ts';
import { trialCoordination, handOver, coordinationPct } from '../stroke/coordination.ts';
import { sectionLengthM } from '../protocol/protocol.ts';
import { meanU, type Measured } from '../base/uncertainty.ts';
import { checkTrial } from './check.ts';
import { evidenceOf, trialFlags } from './flags.ts';
import { longGaps, touchesGap } from '../force/trace.ts';

/** What each hand's force is, or why there is none. Marks, judgements and section times play no part in it. */
export function trialSeries(input: TrialInput): TrialSeries {
  return { left: handSeries(input, 'left'), right: handSeries(input, 'right') };
}

/** Force of both hands, N, on the trace's grid; null for a hand without a force. For drawing. */
export function trialForces(input: TrialInput): Readonly<Record<Hand, Float64Array | null>> {
  const { left, right } = trialSeries(input);
  return { left: left.forceN, right: right.forceN };
}

function handSeries(input: TrialInput, hand: Hand): HandSeries {
  const { trace } = input;
  const { calibration, zeros, areaCm2 } = input.hands[hand];
  if (trace === null) return { channel: null, forceN: null, fault: 'no_trace' };
  const channel = trace[hand];
  const without = (fault: Flag): HandSeries => ({ channel, forceN: null, fault });
  if (channel === null) return without('one_channel');
  if (calibration === null) return without('no_calibration');
  if (areaCm2 === null) return without('no_hand_area');
  const zero = zeroLine(zeros, calibration);
  const kpa = pressureDifference(channel.raw, trace.rateHz, zero, calibration, input.protocol.filter);
  if (typeof kpa === 'string') return without(kpa);
  return { channel, forceN: handForce(kpa, areaCm2), fault: null };
}

/** Computes a trial; `series` is {@link trialSeries} of the same input, where it was computed before. */
export function analyseTrial(input: TrialInput, series: TrialSeries = trialSeries(input)): TrialResult {
  const { protocol, section, strokes } = input;
  const cycle = section === null ? null : cycleTime(strokes, section);
  const results = HANDS.flatMap((hand) =>
    strokesOf(strokes, hand).map((stroke) => analyseStroke(stroke, input, series[hand], cycle)),
  );
  const counted = results.filter((result) => result.counts);
  const overs = counted.flatMap((result) => result.handOver ?? []);
  const coordination = cycle === null ? null : trialCoordination(overs, cycle);
  const sectionM = sectionLengthM(protocol);
  const speed =
    section === null || sectionM === null
      ? null
      : velocity(sectionM, section, protocol.sectionUM, input.timingUS);
  const hand = (which: Hand): HandResult => {
    const own = counted.filter((result) => result.stroke.hand === which);
    const { calibration, zeros } = input.hands[which];
    return {
      peakForceN: meanOf(own.map((result) => result.peakForce?.value ?? null)),
      meanForceN: meanOf(own.map((result) => result.meanForceN)),
      impulseNs: meanOf(own.map((result) => result.impulseNs)),
      zeroShiftKpa: calibration === null ? null : zeroShiftKpa(zeros, calibration),
      strokes: own.length,
      idcPct: (which === 'left' ? coordination?.leftPct : coordination?.rightPct) ?? null,
    };
  };
  const hands = { left: hand('left'), right: hand('right') };
  const highHands = counted.flatMap((result) => result.highHand ?? []);
  const highHandMean = meanOf(highHands.map((highHand) => highHand.value));
  const highHand =
    highHandMean === null ? null : { value: highHandMean, u: meanU(highHands.flatMap(({ u }) => u ?? [])) };
  const bare = {
    sectionM,
    sectionTimeS: section === null ? null : section.endS - section.startS,
    velocity: speed,
    cycleTime: cycle,
    strokeRate: cycle === null ? null : strokeRate(cycle),
    strokeLength: cycle === null || speed === null ? null : strokeLength(speed, cycle),
    idc: coordination?.both ?? null,
    highHand,
    entryPosition: commonEntryPosition(counted.map((result) => result.stroke)),
    hands,
    forceSymmetryPct: forceSymmetryPct(hands.left.meanForceN, hands.right.meanForceN),
    clock: input.clock,
    propulsionBasis: propulsionBasis(strokes),
    strokes: results,
    check: checkTrial(evidenceOf(input, series, results), protocol.accept),
  };
  return { ...bare, flags: trialFlags(input, series, bare) };
}

function analyseStroke(
  stroke: Stroke,
  input: TrialInput,
  series: HandSeries,
  cycle: Measured | null,
): StrokeResult {
  const flags: Flag[] = [];
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
  if (Object.values(stroke.marks).some((mark) => mark.uS === null)) flags.push('no_mark_u');
  return {
    stroke,
    inSection: liesInSection(stroke, input.section),
    counts: strokeCounts(stroke, input.section),
    handOver: over,
    idcPct: over === null || cycle === null ? null : coordinationPct(over, cycle.value),
    highHand,
    ...phases,
    ...forcesOf(stroke, input, series, flags),
    flags: orderFlags(flags),
  };
}

type Forces = Pick<StrokeResult, 'peakForce' | 'meanForceN' | 'impulseNs'>;

const NO_FORCES: Forces = { peakForce: null, meanForceN: null, impulseNs: null };

/** Forces of a stroke; where there are none, the reason is added to `flags`. */
function forcesOf(stroke: Stroke, input: TrialInput, series: HandSeries, flags: Flag[]): Forces {
  const { trace, protocol } = input;
  const { propulsion_start: start, propulsion_end: end } = stroke.marks;
  if (series.fault !== null) flags.push(series.fault);
  if (trace === null || series.forceN === null || series.channel === null) return NO_FORCES;
  if (start === undefined || end === undefined) return NO_FORCES;
  const force = strokeForce(series.forceN, trace, start.timeS, end.timeS);
  if (force === 'outside_trace') {
    flags.push('outside_trace');
    return NO_FORCES;
  }
  const lost = longGaps(series.channel, trace.rateHz, protocol.accept.maxGapMs);
  if (lost.some((gap) => touchesGap(trace, gap, start.timeS, end.timeS))) {
    flags.push('gap');
    return NO_FORCES;
  }
  const { calibration, areaCm2, areaUCm2 } = input.hands[stroke.hand];
  if (calibration!.sensitivityU === null) flags.push('no_calibration_u');
  if (areaUCm2 === null) flags.push('no_hand_area_u');
  if (force.peakN === null) flags.push('no_sample');
  const peakForce =
    force.peakN === null
      ? null
      : { value: force.peakN, u: peakForceU(force.peakN, { cm2: areaCm2!, uCm2: areaUCm2 }, calibration!) };
  return { peakForce, meanForceN: force.meanN, impulseNs: force.impulseNs };
}

function propulsionBasis(strokes: readonly Stroke[]): PropulsionBasis | null {
  const clocks = new Set(strokes.flatMap(({ propulsionClocks }) => propulsionClocks));
  if (clocks.size === 0) return null;
  if (clocks.size === 2) return 'mixed';
  return clocks.has('trace') ? 'force' : 'video';
}
