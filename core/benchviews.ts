/**
 * What the calibration bench shows and takes: sensors, calibrations, zeros, hand areas, budgets. Schemas stand here
 * where a screen sends the thing back; plain types where the lab alone makes it.
 */
import { z } from 'zod';
import type { CalibrationRule } from './calibrationchoice.ts';
import type { BenchVerdict } from './calibrationverdict.ts';
import type { BenchFault } from './calibrationinput.ts';
import type { ForceBudget } from './budget.ts';
import type { Hand } from './day.ts';
import type { SensitivityHistory } from './drift.ts';
import type { HandArea } from './handarea.ts';
import { PRESSURE_UNITS } from './hydrostatics.ts';
import type { CalibrationAssessment } from './metrology.ts';
import { isCode } from './table.ts';
import type { ZeroFault, ZeroProposal } from './zeroproposal.ts';

const code = z.string().refine(isCode, 'takes 1 to 64 of the characters A–Z a–z 0–9 _ . -');
const finite = z.number();
const positive = z.number().positive();
const notNegative = z.number().nonnegative();

/** A sensor of the lab's register. */
export const sensorCard = z.strictObject({
  sensor: code,
  hand: z.enum(['left', 'right']).nullable(),
  /** Full scale, kPa. */
  rangeKpa: positive.nullable(),
  rawUnit: z.string().trim().max(40).nullable(),
  rawMin: finite.nullable(),
  rawMax: finite.nullable(),
  state: z.enum(['in_service', 'resting', 'retired']),
  notes: z.string().max(4000),
});
export type SensorCard = z.infer<typeof sensorCard>;

/** Limits of the lab; see `BenchLimits` for units and meaning. */
export const benchLimits = z.strictObject({
  nonlinearityPctFs: positive.nullable(),
  hysteresisPctFs: positive.nullable(),
  repeatabilityPctFs: positive.nullable(),
  residualSdKpa: positive.nullable(),
  sensitivityExpandedPct: positive.nullable(),
  sensitivityChangePct: positive.nullable(),
  leastPoints: z.number().int().positive().nullable(),
  leastPressures: z.number().int().positive().nullable(),
  upAndDown: z.boolean(),
});

export const BENCH_METHODS = ['water_column', 'reference_gauge', 'two_points'] as const;
export type BenchMethod = (typeof BENCH_METHODS)[number];

/** Where a raw value came from: typed, or a stretch of a recorded trace. */
const pointSource = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('typed') }),
  z.strictObject({
    kind: z.literal('trace'),
    /** SHA-256 of the recording as kept in the lab folder, and its name. */
    sha256: z.string().regex(/^[0-9a-f]{64}$/),
    file: z.string().max(500),
    startS: finite,
    endS: finite,
    sdRaw: notNegative.nullable(),
    count: z.number().int().positive(),
  }),
]);

/** A point of a calibration as entered. */
export const benchPoint = z.strictObject({
  applied: finite,
  appliedUnit: z.enum(PRESSURE_UNITS),
  raw: finite,
  direction: z.enum(['up', 'down']).nullable(),
  run: z.number().int().positive(),
  /** Why it takes no part; null where it does. A point is set aside, never deleted. */
  setAside: z.string().trim().min(1).max(300).nullable(),
  source: pointSource,
});
export type BenchPointEntry = z.infer<typeof benchPoint>;

/** A calibration being made, kept as it grows: nothing needs a save button. */
export const benchDraft = z.strictObject({
  sensor: code,
  method: z.enum(BENCH_METHODS),
  /** Conditions; null where not given. */
  waterTemperatureC: finite.nullable(),
  latitudeDeg: z.number().min(-90).max(90).nullable(),
  altitudeM: finite.nullable(),
  columnHeightM: positive.nullable(),
  /** Standard uncertainty of the reference: a shared offset, kPa, a shared relative part, and each point's own, kPa. */
  reference: z.strictObject({
    name: z.string().max(200),
    sharedKpa: notNegative,
    scale: notNegative,
    perPointKpa: notNegative,
  }),
  notes: z.string().max(4000),
  points: z.array(benchPoint).max(2000),
});
export type BenchDraft = z.infer<typeof benchDraft>;

/** A calibration that was kept: made at the bench, or brought in with a day folder. */
export interface CalibrationRecord {
  readonly id: number;
  readonly sensor: string;
  /** ISO 8601 instant (bench) or the day's date at noon UTC (day folder). */
  readonly at: string;
  readonly who: string;
  readonly origin:
    { readonly kind: 'bench' } | { readonly kind: 'day'; readonly day: string; readonly sha256: string };
  readonly draft: BenchDraft;
  readonly limits: z.infer<typeof benchLimits>;
  readonly assessment: CalibrationAssessment | null;
  readonly verdict: BenchVerdict | null;
  readonly faults: readonly BenchFault[];
  /** Version of the program that kept it. */
  readonly version: string;
}

export interface SensorView {
  readonly card: SensorCard;
  readonly calibrations: readonly CalibrationRecord[];
  /** Of the accepted ones, with or without remark; null without any. */
  readonly history: SensitivityHistory | null;
  /** The calibration being made; null where none is. */
  readonly draft: BenchDraft | null;
}

export interface BenchView {
  readonly sensors: readonly SensorView[];
  readonly limits: z.infer<typeof benchLimits>;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
}

/** A recording opened at the bench: its columns, and the samples of one of them by `recordingPath`. */
export interface RecordingView {
  readonly sha256: string;
  readonly file: string;
  readonly columns: readonly string[];
  readonly startS: number;
  readonly rateHz: number;
  readonly count: number;
}

/** One zero reading of a day. */
export interface ZeroReadingView {
  readonly trial: string;
  readonly participant: string;
  readonly sensor: string;
  readonly hand: Hand;
  readonly before: number | null;
  readonly after: number | null;
  readonly shiftKpa: number | null;
  /** True where the limit of the protocol is broken; null where it cannot be judged. */
  readonly beyond: boolean | null;
  /** Where the readings come from: the day's file, or confirmed here. */
  readonly origin: {
    readonly before: 'file' | 'confirmed' | null;
    readonly after: 'file' | 'confirmed' | null;
  };
}

export interface DayZerosView {
  readonly day: number;
  /** In the order of trials.csv. */
  readonly readings: readonly ZeroReadingView[];
  readonly limitKpa: number | null;
  readonly waterTemperatureC: number | null;
}

export interface ZeroProposals {
  readonly start: ZeroProposal | ZeroFault;
  readonly end: ZeroProposal | ZeroFault;
}

export const handAreaEntry = z.strictObject({
  method: z.enum(['traced', 'typed', 'estimated']),
  cm2: positive,
  uCm2: notNegative.nullable(),
  scaleUCm2: notNegative.nullable(),
  repeatUCm2: notNegative.nullable(),
  count: z.number().int().positive(),
  says: z.string().max(1000),
});

export interface HandAreaView {
  readonly participant: string;
  readonly hand: Hand;
  /** What roster.csv gives. */
  readonly rosterCm2: number | null;
  readonly rosterUCm2: number | null;
  /** What was kept here, in place of it; null where the roster stands. */
  readonly kept: HandArea | null;
  readonly heightCm: number | null;
  readonly massKg: number | null;
  /** Age in whole years on the day, at most; null where not known. */
  readonly ageYears: number | null;
}

export interface DayAreasView {
  readonly day: number;
  readonly areas: readonly HandAreaView[];
}

/** Which calibration each sensor of a day uses, and why. */
export interface ChoiceView {
  readonly day: number;
  readonly rule: CalibrationRule;
  readonly sensors: readonly {
    readonly sensor: string;
    readonly says: string;
    readonly from: readonly string[];
  }[];
}

/** What a change of rule would do, before it is kept. */
export interface ChoicePreview {
  readonly choice: ChoiceView;
  readonly changes: readonly {
    readonly trial: string;
    readonly hand: Hand;
    readonly peakBeforeN: number | null;
    readonly peakAfterN: number | null;
    readonly changePct: number | null;
  }[];
}

export interface BudgetView {
  readonly trial: string;
  readonly hand: Hand;
  readonly forceN: number;
  readonly budget: ForceBudget | null;
  /** Why there is none; null where there is. */
  readonly fault: string | null;
  /** How the area and the calibration were come by, for the person. */
  readonly areaSays: string;
  readonly calibrationSays: string;
}

/** Path (below the host's root) of a recording's column: little-endian float64, raw. `column` counts from 0. */
export function recordingPath(sha256: string, column: number): string {
  return `/recording/${sha256}/${column}`;
}

/** Path of a calibration's certificate. */
export function certificatePath(id: number, kind: 'html' | 'pdf'): string {
  return `/certificate/${id}.${kind}`;
}
