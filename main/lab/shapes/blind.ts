/** Second opinions. Their marks and judgements are those of `marking.ts`. */
import { z } from 'zod';
import type { Shape } from './shape.ts';

const start = z.object({
  rater: z.string(),
  seed: z.string(),
  /** Codes of the trials in the order in which they are marked. */
  trials: z.array(z.string()),
});

export const BLIND_SHAPE: Shape<z.infer<typeof start>> = {
  what: 'beginnings of a second opinion',
  version: 1,
  schema: start,
};
