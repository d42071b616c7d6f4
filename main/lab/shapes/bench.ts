/** The register: sensors, limits, calibrations kept and being made, recordings of the bench. */
import { z } from 'zod';
import { finite, notNegative } from '../../../core/base/codes.ts';
import { benchDraft, benchLimits, benchPoint, sensorCard } from '../../../core/sensor/draft.ts';
import { type RecordingTime, recordingTime } from '../../../core/base/recordingtime.ts';
import { DEFAULT_BENCH_LIMITS } from '../../../core/sensor/limits.ts';
import type { Shape } from './shape.ts';

/** What came with a day was not held to the bounds of what is typed. */
const card = z.object({
  ...sensorCard.shape,
  sensor: z.string(),
  rangeKpa: finite.nullable(),
  notes: z.string().default(''),
});

export const CARD_SHAPE: Shape<z.infer<typeof card>> = {
  what: 'cards of a sensor',
  version: 1,
  schema: card,
};

/** A limit that a lab was not asked for when it set the others is today's default. */
const limits = z.object({
  ...benchLimits.shape,
  leastPoints: benchLimits.shape.leastPoints.default(DEFAULT_BENCH_LIMITS.leastPoints),
  leastPressures: benchLimits.shape.leastPressures.default(DEFAULT_BENCH_LIMITS.leastPressures),
  leastCoveragePct: benchLimits.shape.leastCoveragePct.default(DEFAULT_BENCH_LIMITS.leastCoveragePct),
  upAndDown: z.boolean().default(DEFAULT_BENCH_LIMITS.upAndDown),
});

/** Calibrations kept by an earlier program were not judged by what it did not ask for. */
const limitsThen = limits.extend({ leastCoveragePct: benchLimits.shape.leastCoveragePct.default(null) });

export const LIMITS_SHAPE: Shape<z.infer<typeof limits>> = {
  what: 'limits of the bench',
  version: 1,
  schema: limits,
};

const draft = z.object({
  ...benchDraft.shape,
  sensor: z.string(),
  latitudeDeg: finite.nullable(),
  columnHeightM: notNegative.nullable(),
  points: z.array(z.looseObject({ ...benchPoint.shape, run: z.number().int() })),
});

export const DRAFT_SHAPE: Shape<z.infer<typeof draft>> = {
  what: 'beginnings of a calibration',
  version: 1,
  schema: draft,
};

const content = z.object({
  draft,
  limits: limitsThen,
  sensor: z.object({
    rangeKpa: finite.nullable(),
    rawMin: finite.nullable(),
    rawMax: finite.nullable(),
  }),
});

export const CALIBRATION_SHAPE: Shape<z.infer<typeof content>> = {
  what: 'readings of a calibration',
  version: 1,
  schema: content,
};

export const RECORDING_TIME_SHAPE: Shape<RecordingTime> = {
  what: 'times of a recording',
  version: 1,
  schema: recordingTime,
};
