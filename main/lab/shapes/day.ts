/** What people decided on a day: status of trials, zeros, hand areas, the rule for calibrations. */
import { z } from 'zod';
import { notNegative, positive } from '../../../core/base/codes.ts';
import { CALIBRATION_RULES } from '../../../core/sensor/choice.ts';
import type { Shape } from './shape.ts';

const status = z.object({
  status: z.enum(['recorded', 'accepted', 'excluded']),
  reason: z.string().nullable().default(null),
});

export const STATUS_SHAPE: Shape<z.infer<typeof status>> = {
  what: 'words on a trial’s status',
  version: 1,
  schema: status,
};

const statuses = status.extend({ trials: z.array(z.string()) });

export const STATUSES_SHAPE: Shape<z.infer<typeof statuses>> = {
  what: 'words on the status of several trials',
  version: 1,
  schema: statuses,
};

export const ZERO_SHAPE: Shape<number | null> = {
  what: 'zeros of a trial’s sensor',
  version: 1,
  schema: z.number().nullable(),
};

const area = z.object({
  method: z.enum(['traced', 'typed', 'estimated']),
  cm2: positive,
  uCm2: notNegative.nullable().default(null),
  scaleUCm2: notNegative.nullable().default(null),
  repeatUCm2: notNegative.nullable().default(null),
  planeUCm2: notNegative.nullable().default(null),
  offsetUCm2: notNegative.nullable().default(null),
  count: z.number().int().positive().default(1),
  says: z.string().default(''),
});

export const AREA_SHAPE: Shape<z.infer<typeof area> | null> = {
  what: 'hand areas of a swimmer',
  version: 1,
  schema: area.nullable(),
};

export const RULE_SHAPE: Shape<(typeof CALIBRATION_RULES)[number] | null> = {
  what: 'rules for a day’s calibrations',
  version: 1,
  schema: z.enum(CALIBRATION_RULES).nullable(),
};
