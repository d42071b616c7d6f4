/** How a day's trials are shared out among raters. */
import { z } from 'zod';
import type { Shape } from './shape.ts';

const queue = z.object({
  seed: z.string(),
  sharePct: z.number(),
  raters: z.array(z.string()),
  /** In the drawn order. */
  trials: z.array(z.object({ trial: z.string(), rater: z.string(), second: z.string().nullable() })),
});

export type KeptQueue = z.infer<typeof queue>;

export const QUEUE_SHAPE: Shape<KeptQueue> = {
  what: 'trials shared out for marking',
  version: 1,
  schema: queue,
};
