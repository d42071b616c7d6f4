import { z } from 'zod';
import '../base/schemawords.ts';
import { code, positive, finite, hand, notNegative } from '../base/codes.ts';
import { PRESSURE_UNITS } from './hydrostatics.ts';
import type { CalibrationAssessment } from './metrology.ts';
import type { BenchVerdict } from './verdict.ts';
import type { BenchFault } from './entry.ts';

/** A sensor of the lab's register. */
export const sensorCard = z.strictObject({
  sensor: code,
  hand: hand.nullable(),
  /** Full scale, kPa. */
  rangeKpa: positive.nullable(),
  rawUnit: z.string().trim().max(40).nullable(),
  rawMin: finite.nullable(),
  rawMax: finite.nullable(),
  state: z.enum(['in_service', 'resting', 'retired']),
  notes: z.string().max(4000),
  serial: z.string().trim().min(1).max(100).nullable().optional(),
  maker: z.string().trim().min(1).max(100).nullable().optional(),
  /** The day by which it is to be calibrated again, by the lab's own rule. */
  dueOn: z.iso.date().nullable().optional(),
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
  leastCoveragePct: positive.max(100).nullable(),
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
  /** True where a person asked for it although its raw value lies beyond the sensor's limits. */
  asked: z.boolean().optional(),
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
  /** The day on which it was made, where that is not the day on which it is kept. */
  madeOn: z.iso.date().nullable().optional(),
  points: z.array(benchPoint).max(2000),
});

export type BenchDraft = z.infer<typeof benchDraft>;

/** A calibration that was kept: made at the bench, or brought in with a day folder. */
export interface KeptCalibration {
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
