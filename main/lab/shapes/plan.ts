/** What the log of plans holds: a plan that was stated, and a look at its answers. */
import { z } from 'zod';
import type { Shape } from './shape.ts';

const stated = z.object({
  /** The plan as formats.md section 4 has it, as text. */
  text: z.string(),
  sha256: z.string(),
});

export const STATED_SHAPE: Shape<z.infer<typeof stated>> = {
  what: 'plans of comparisons',
  version: 1,
  schema: stated,
};

const looked = z.object({
  /** Of the plan that was answered. */
  sha256: z.string(),
  /** Of the tables that it was answered from. */
  data: z.string(),
});

export const LOOKED_SHAPE: Shape<z.infer<typeof looked>> = {
  what: 'looks at answers',
  version: 1,
  schema: looked,
};
