/**
 * One trial, from samples, marks and section times to its numbers. Everything here follows formats.md section 2;
 * the parts live in `force`, `timing`, `coordination`, `trialcheck` and `uncertainty`.
 */
import {
  zeroLine,
  zeroShiftKpa,
  type Calibration,
  type CalibrationVerdict,
  type ZeroReadings,
} from './calibration.ts';
import type { ClockLine } from './clock.ts';
import { coordinationPct, handOver, trialCoordination, type HandOver } from './coordination.ts';
import { HANDS, type Hand } from './day.ts';
import { orderFlags, type Flag } from './flags.ts';
import { forceSymmetryPct, handForce, peakForceU, pressureDifference, strokeForce } from './force.ts';
import { sectionLengthM, type Protocol } from './protocol.ts';
import {
  liesInSection,
  strokeCounts,
  strokesOf,
  type EntryPosition,
  type Section,
  type Stroke,
} from './stroke.ts';
import {
  commonEntryPosition,
  cycleTime,
  meanOf,
  phaseShares,
  shoulderExposure,
  strokeLength,
  strokeRate,
  velocity,
  type Measured,
  type PhaseShares,
} from './timing.ts';
import { longGaps, touchesGap, type Channel, type SampledTrace } from './trace.ts';
import { checkTrial, type TrialCheck } from './trialcheck.ts';
import { evidenceOf, trialFlags } from './trialflags.ts';
import { meanU } from './uncertainty.ts';

/** What is known of one hand in one trial. */
export interface HandInput {
  readonly calibration: Calibration | null;
  readonly calibrationVerdict: CalibrationVerdict | null;
  readonly zeros: ZeroReadings;
  /** One-sided hand area and its standard uncertainty, cm². */
  readonly areaCm2: number | null;
  readonly areaUCm2: number | null;
  readonly rawMin: number | null;
  readonly rawMax: number | null;
}

export interface TrialInput {
  readonly protocol: Protocol;
  readonly trace: SampledTrace | null;
  readonly hands: Readonly<Record<Hand, HandInput>>;
  readonly section: Section | null;
  /** Standard uncertainty of one section time, s. */
  readonly timingUS: number | null;
  readonly strokes: readonly Stroke[];
  /** Camera A's clock line; null without one. */
  readonly clock: ClockLine | null;
  /** Flags that arose while the inputs were put together. */
  readonly flags: readonly Flag[];
}

/** Numbers of one stroke; null where they cannot be computed, for a reason in `flags`. */
export interface StrokeResult extends PhaseShares {
  readonly stroke: Stroke;
  readonly inSection: boolean;
  readonly counts: boolean;
  readonly handOver: HandOver | null;
  readonly idcPct: number | null;
  readonly exposure: Measured | null;
  /** Peak force, N, with its standard uncertainty. */
  readonly peakForce: Measured | null;
  readonly meanForceN: number | null;
  readonly impulseNs: number | null;
  readonly flags: readonly Flag[];
}

/** Numbers of one hand over a trial's strokes that count. */
export interface HandResult {
  readonly peakForceN: number | null;
  readonly meanForceN: number | null;
  readonly impulseNs: number | null;
  readonly zeroShiftKpa: number | null;
  readonly strokes: number;
  readonly idcPct: number | null;
}

export type PropulsionBasis = 'force' | 'video' | 'mixed';

export interface TrialResult {
  readonly sectionM: number | null;
  readonly sectionTimeS: number | null;
  readonly velocity: Measured | null;
  readonly cycleTime: Measured | null;
  /** cycles/min. */
  readonly strokeRate: Measured | null;
  /** m. */
  readonly strokeLength: Measured | null;
  readonly idc: Measured | null;
  readonly exposure: Measured | null;
  readonly entryPosition: EntryPosition | 'mixed' | null;
  readonly hands: Readonly<Record<Hand, HandResult>>;
  readonly forceSymmetryPct: number | null;
  readonly clock: ClockLine | null;
  readonly propulsionBasis: PropulsionBasis | null;
  readonly strokes: readonly StrokeResult[];
  readonly check: TrialCheck;
  readonly flags: readonly Flag[];
}

/** Force of one hand over a trial, or why there is none. */
export interface HandSeries {
  readonly channel: Channel | null;
  /** Force on the trace's grid, N. */
  readonly forceN: Float64Array | null;
  readonly fault: Flag | null;
}

export type TrialSeries = Readonly<Record<Hand, HandSeries>>;

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
  const exposures = counted.flatMap((result) => result.exposure ?? []);
  const exposureMean = meanOf(exposures.map((exposure) => exposure.value));
  const exposure =
    exposureMean === null ? null : { value: exposureMean, u: meanU(exposures.flatMap(({ u }) => u ?? [])) };
  const bare = {
    sectionM,
    sectionTimeS: section === null ? null : section.endS - section.startS,
    velocity: speed,
    cycleTime: cycle,
    strokeRate: cycle === null ? null : strokeRate(cycle),
    strokeLength: cycle === null || speed === null ? null : strokeLength(speed, cycle),
    idc: coordination?.both ?? null,
    exposure,
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
  const exposure = shoulderExposure(stroke);
  if (exposure === null) flags.push('no_exposure');
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
    exposure,
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
