/** What a release is about, beside its contents. */
import { z } from 'zod';
import type { Shape } from './shape.ts';

const day = z.object({
  day: z.string(),
  date: z.string().nullable(),
  swimmers: z.number(),
  trials: z.number(),
});

const about = z.object({
  days: z.array(day).readonly(),
  /** Different swimmers over all days. */
  swimmers: z.number(),
});

export type ReleaseAbout = z.infer<typeof about>;

export const RELEASE_SHAPE: Shape<ReleaseAbout> = {
  what: 'contents of a release',
  version: 1,
  schema: about,
};

/** How a day's numbers came about, as a release keeps it. */
const provenance = z.looseObject({
  inputs: z.array(z.object({ path: z.string(), sha256: z.string(), trials: z.array(z.string()) })).readonly(),
  left_out_for_consent: z.object({ swimmers: z.number(), trials: z.number() }),
});

export type FrozenProvenance = z.infer<typeof provenance>;

export const PROVENANCE_SHAPE: Shape<FrozenProvenance> = {
  what: 'provenance of a day in a release',
  version: 1,
  schema: provenance,
};
