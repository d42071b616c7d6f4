import type { KpaSeries, NewtonSeries } from '../base/units.ts';
import type { Calibration, CalibrationVerdict, ZeroReadings } from '../sensor/calibration.ts';
import type { Protocol } from '../protocol/protocol.ts';
import type { SampledTrace, Channel } from '../force/trace.ts';
import type { Hand } from '../base/hand.ts';
import type { Section, Stroke, EntryPosition } from '../stroke/stroke.ts';
import type { ClockLine } from '../clock/clock.ts';
import type { Flag } from '../stroke/flags.ts';
import type { HighHand, PhaseShares } from '../stroke/timing.ts';
import type { Elsewhere } from '../day/elsewhere.ts';
import type { Pool } from '../day/day.ts';
import type { SensorOutcome } from '../day/checks.ts';
import type { HandOver } from '../stroke/coordination.ts';
import type { Measured } from '../base/uncertainty.ts';
import type { TrialCheck } from './check.ts';

/** What is known of one hand in one trial. */
export interface HandInput {
  readonly calibration: Calibration | null;
  readonly calibrationVerdict: CalibrationVerdict | null;
  /** What the trace holds where it was calibrated elsewhere; null where it holds raw readings. */
  readonly elsewhere: Elsewhere | null;
  /** Zero readings of the trial, and of the day for a trial that has none; in the unit of the trace's column. */
  readonly zeros: ZeroReadings;
  readonly dayZeros: ZeroReadings;
  /** False where day.json names no column for this hand. */
  readonly hasColumn: boolean;
  /** The sensor's known pressures at the start and the end of the day; null where nothing was checked. */
  readonly check: SensorOutcome | null;
  /** One-sided hand area and its standard uncertainty, cm². */
  readonly areaCm2: number | null;
  readonly areaUCm2: number | null;
  readonly rawMin: number | null;
  readonly rawMax: number | null;
}

export interface TrialInput {
  readonly protocol: Protocol;
  /** The pool, for the weight of water between a hand's taps. */
  readonly pool: Pool;
  readonly trace: SampledTrace | null;
  readonly hands: Readonly<Record<Hand, HandInput>>;
  readonly section: Section | null;
  /** Standard uncertainty of one section time, s. */
  readonly timingUS: number | null;
  readonly strokes: readonly Stroke[];
  /** Camera A's clock line; null without one. */
  readonly clock: ClockLine | null;
  /** Who made the reported marks; null where nobody is named. */
  readonly rater: string | null;
  /** Flags that arose while the inputs were put together. */
  readonly flags: readonly Flag[];
}

/** What the force of a trial's hands is computed from; marks, judgements and section times play no part in it. */
export type SeriesInput = Pick<TrialInput, 'trace' | 'hands'> & {
  readonly protocol: Pick<Protocol, 'filter'>;
};

/** Numbers of one stroke; null where they cannot be computed, for a reason in `flags`. */
export interface StrokeResult extends PhaseShares {
  readonly stroke: Stroke;
  readonly inSection: boolean;
  readonly counts: boolean;
  readonly handOver: HandOver | null;
  readonly idcPct: number | null;
  readonly highHand: HighHand | null;
  /** Peak and mean force, N, and impulse, N·s, with their standard uncertainties. */
  readonly peakForce: Measured | null;
  readonly meanForce: Measured | null;
  readonly impulse: Measured | null;
  readonly flags: readonly Flag[];
}

/** Numbers of one hand over a trial's strokes that count. */
export interface HandResult {
  /** Means over the strokes, N and N·s, with their standard uncertainties. */
  readonly peakForce: Measured | null;
  readonly meanForce: Measured | null;
  readonly impulse: Measured | null;
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
  readonly highHand: Measured | null;
  readonly entryPosition: EntryPosition | 'mixed' | null;
  readonly hands: Readonly<Record<Hand, HandResult>>;
  /** %. */
  readonly forceSymmetry: Measured | null;
  readonly clock: ClockLine | null;
  readonly propulsionBasis: PropulsionBasis | null;
  /** Who made the reported marks; null where nobody is named. */
  readonly rater: string | null;
  /** Strokes that count with a measured entry height, and with a judged entry position alone. */
  readonly strokesMeasured: number;
  readonly strokesJudged: number;
  readonly strokes: readonly StrokeResult[];
  readonly check: TrialCheck;
  readonly flags: readonly Flag[];
}

/** Force of one hand over a trial, or why there is none. */
export interface HandSeries {
  readonly channel: Channel | null;
  /** Filtered pressure difference on the trace's grid, kPa; null where there is none, and for a force from elsewhere. */
  readonly pressureKpa: KpaSeries | null;
  /** Force on the trace's grid, N. */
  readonly forceN: NewtonSeries | null;
  readonly fault: Flag | null;
}

export type TrialSeries = Readonly<Record<Hand, HandSeries>>;
