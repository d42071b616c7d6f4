/** Settings of the lab folder that hold more than a word. */
import { z } from 'zod';
import type { Shape } from './shape.ts';

export const PLACES_SHAPE: Shape<string[]> = {
  what: 'allowed places',
  version: 1,
  schema: z.array(z.string()),
};

const backup = z.object({ says: z.string(), at: z.string(), folder: z.string() });

export const BACKUP_SHAPE: Shape<z.infer<typeof backup>> = {
  what: 'notes of the last backup',
  version: 1,
  schema: backup,
};

export const BACKUPS_SHAPE: Shape<{ folder: string; at: string }[]> = {
  what: 'notes of the backups that were made',
  version: 1,
  schema: z.array(z.object({ folder: z.string(), at: z.string() })),
};

const backupPlan = z.object({ everyDays: z.number().int().min(1), path: z.string() }).nullable();

export const BACKUP_PLAN_SHAPE: Shape<z.infer<typeof backupPlan>> = {
  what: 'plan of backups',
  version: 1,
  schema: backupPlan,
};

const watch = z.object({ folder: z.string().nullable(), taking: z.array(z.string()).default([]) });

export const WATCH_SHAPE: Shape<z.infer<typeof watch>> = {
  what: 'settings of a watched folder',
  version: 1,
  schema: watch,
};

const check = z.object({ says: z.string(), sound: z.boolean(), at: z.string() });

export const CHECK_SHAPE: Shape<z.infer<typeof check>> = {
  what: 'notes of the last check',
  version: 1,
  schema: check,
};

export const REASONS_SHAPE: Shape<string[]> = {
  what: 'reasons for excluding a trial',
  version: 1,
  schema: z.array(z.string().min(1).max(500)),
};
