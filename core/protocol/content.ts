/**
 * A protocol as a lab plans it: what is swum, what is measured, how it is timed, when a trial is good enough, what is
 * checked before the first start. A testing day keeps the version it was run with; what formats.md knows of it goes into
 * the day's day.json (`dayProtocol`).
 */
import { recordingTime } from '../base/recordingtime.ts';
import { z } from 'zod';
import '../base/schemawords.ts';
import { plainCode as code, notNegative, positive } from '../base/codes.ts';
import { PRESSURE_UNITS } from '../sensor/hydrostatics.ts';
import { type Protocol, DEFAULT_TAP_OFFSET_MM, FORCE_UNITS } from './protocol.ts';

const bodyPoint = z.enum(['head', 'hip', 'hand']);

const line = z.string().trim().min(1, 'must not be empty').max(300);

/** Where a camera stands that times one end of the section; all m. */
const markView = z.strictObject({
  /** From the camera, square across, to the line the swimmer follows. */
  acrossM: positive,
  /** From the mark, along the pool, to the camera: 0 is square to the mark. */
  alongM: z.number('takes a number'),
  /** From the camera, square across, to the thing the mark is seen on (a rope, the far wall). */
  markAcrossM: positive,
  /** How far the swimmer may stray to either side of that line. */
  strayM: notNegative,
});

export type MarkView = z.infer<typeof markView>;

export const TIMING_METHODS = ['video', 'gate', 'stopwatch'] as const;

export type TimingMethod = (typeof TIMING_METHODS)[number];

const timing = z.strictObject({
  method: z.enum(TIMING_METHODS),
  /** Who times, in the lab's words. */
  who: z.string().trim().max(120),
  /** The camera whose film times the section, where film does. */
  camera: code.nullable(),
  /** Standard uncertainty of one moment, s, of a gate and of a hand on a stopwatch. */
  gateUS: notNegative,
  stopwatchUS: notNegative,
  views: z.strictObject({ start: markView.nullable(), end: markView.nullable() }),
});

/** What every column that was calibrated elsewhere says: its stated standard uncertainty, %, and whether we filter it. */
const calibrated = { scaleUPct: notNegative.nullable(), filter: z.boolean() };

/** What a hand's column holds where it was calibrated elsewhere; null where it holds raw readings. */
export const columnHolds = z
  .discriminatedUnion('quantity', [
    z.strictObject({ quantity: z.literal('pressure'), unit: z.enum(PRESSURE_UNITS), ...calibrated }),
    z.strictObject({ quantity: z.literal('force'), unit: z.enum(FORCE_UNITS), ...calibrated }),
  ])
  .nullable();

export type ColumnHolds = z.infer<typeof columnHolds>;

/** How the acquisition computer writes its files. */
export const fileHabits = z.strictObject({
  time: recordingTime,
  /** Columns of the two hands in a trace. */
  left: z.string().min(1).max(120),
  right: z.string().min(1).max(120),
  leftHolds: columnHolds.default(null),
  rightHolds: columnHolds.default(null),
  /**
   * How files are named, without the ending: `{trial}`, `{participant}`, `{attempt}`, `{camera}`, `{any}` stand for
   * what changes. A film whose name tells no camera is camera A's.
   */
  names: z.array(line).min(1).max(10),
});

export type FileHabits = z.infer<typeof fileHabits>;

const filter = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('none') }),
  z.strictObject({
    kind: z.literal('butterworth'),
    order: z.number().int().min(1).max(10),
    cutoffHz: positive,
  }),
]);

export const MEASURES = [
  'hand_force',
  'stroke_rate',
  'stroke_length',
  'velocity',
  'index_of_coordination',
  'high_hand',
  'entry_position',
  'breathing',
] as const;

export type Measure = (typeof MEASURES)[number];

/** The comparison that the number of swimmers is planned for. */
export const plannedComparison = z.strictObject({
  kind: z.enum(['two_groups', 'paired']),
  /** What is compared, with its unit, such as "velocity, m/s". */
  quantity: z.string().trim().max(120),
  /** Swimmers per group; `second` counts for two groups only. */
  first: z.number().int().min(2).max(1000),
  second: z.number().int().min(2).max(1000),
  /** Expected difference of the means, and the SD: within a group, or of the differences where paired; same unit. */
  difference: positive,
  sd: positive,
  alpha: z.number().gt(0).lt(0.5),
  sides: z.enum(['two', 'one']),
});

export type PlannedComparison = z.infer<typeof plannedComparison>;

export const protocolContent = z.strictObject({
  name: z.string().trim().min(1, 'must not be empty').max(120),
  stroke: z.string().trim().min(1, 'must not be empty').max(60),
  start: z.enum(['push', 'dive', 'in_water']),
  poolLengthM: positive.max(1000),
  runM: positive.max(10_000),
  /** Distances of the measured section from the finishing wall, m, start first. */
  sectionFromWallM: z.tuple([notNegative, notNegative]),
  /** Standard uncertainty of the section's length, m. */
  sectionUM: notNegative,
  sectionPoints: z.strictObject({ start: bodyPoint, end: bodyPoint }),
  timing,
  attempts: z.number().int().min(1).max(50),
  restMinS: notNegative.max(86_400, 'takes at most a day, 86400 s'),
  /** Sampling rate of the hand sensors, Hz. */
  rateHz: positive,
  cameras: z
    .array(z.strictObject({ camera: code, frameRateHz: positive, sees: z.string().trim().max(200) }))
    .max(8),
  /** Conditions that every swimmer swims; empty where there is one only. `attempts` counts for each. */
  conditions: z.array(code).max(12),
  order: z.enum(['listed', 'random', 'balanced']),
  accept: z.strictObject({
    minStrokesPerHand: z.number().int().nonnegative().nullable(),
    maxGapMs: notNegative.nullable(),
    maxSaturatedFraction: notNegative.max(1).nullable(),
    maxZeroShiftKpa: notNegative.nullable(),
    maxCheckDeviationKpa: notNegative.nullable().default(null),
  }),
  filter,
  /** Standard uncertainty of placing a mark, beside that of reading a frame or sample, s. */
  markingUS: notNegative,
  /** How far the depths of a hand's two taps may differ as the hand turns, mm. */
  tapOffsetMm: notNegative.default(DEFAULT_TAP_OFFSET_MM),
  /** Half the difference of the highest and lowest speed within a stroke cycle, % of the mean; null where not known. */
  speedVariationPct: notNegative.nullable().default(null),
  measures: z.array(z.enum(MEASURES)).max(MEASURES.length),
  /** Ticked with initials before the first trial, and at the end of the day. */
  checklists: z.strictObject({ before: z.array(line).max(40), close: z.array(line).max(40) }),
  consentTextVersion: z.string().trim().max(60),
  /** What the swimmers are expected to do: for what a choice costs. */
  expected: z.strictObject({
    velocityMS: positive,
    strokeLengthM: positive,
    /** Distance from the start that the push-off or dive carries, m. */
    glideM: notNegative,
  }),
  files: fileHabits,
  comparison: plannedComparison.nullable(),
});

export type ProtocolContent = z.infer<typeof protocolContent>;

/** The acceptance limits that a protocol made here sets. */
export type ContentLimits = ProtocolContent['accept'];

/** The protocol in the words of day.json. */
export function dayProtocol(content: ProtocolContent): Protocol {
  const { name, stroke, runM, sectionFromWallM, sectionUM, sectionPoints } = content;
  const { attempts, restMinS, markingUS, tapOffsetMm, speedVariationPct, filter: chosen, accept } = content;
  return {
    name,
    stroke,
    runM,
    sectionFromWallM,
    sectionUM,
    sectionPoints,
    attempts,
    restMinS,
    markingUS,
    tapOffsetMm,
    speedVariationPct,
    filter: chosen,
    accept,
  };
}
