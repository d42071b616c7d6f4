/** How one call of the contract is written down: the schema of its input and the type of its output. */
import type { z } from 'zod';

export interface Call<I, O> {
  readonly input: z.ZodType<I>;
  /** Carries the output's type; outputs are made by our own code and are not checked again at run time. */
  readonly output?: O;
}

export function call<I, O>(input: z.ZodType<I>): Call<I, O> {
  return { input };
}
