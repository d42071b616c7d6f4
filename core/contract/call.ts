/** How one call of the contract is written down: the schema of its input, the type of its output, what it changes. */
import { z } from 'zod';

/** Whose steps of undo and redo an answer tells: of its day, of the day of its trial, of the sensors. */
export type StepsTold = 'day' | 'trial' | 'sensors';

export interface Call<I, O> {
  readonly input: z.ZodType<I>;
  /** Carries the output's type; outputs are made by our own code and are not checked again at run time. */
  readonly output?: O;
  /** Whether it adds to, or steps through, the decisions of the day that its input names. */
  readonly changesDay: boolean;
  /** Null where the answer tells nothing of the kind. */
  readonly tells: StepsTold | null;
}

/** A call that leaves the decisions of every day as they are. */
export function call<I, O>(input: z.ZodType<I>, tells: StepsTold | null = null): Call<I, O> {
  return { input, changesDay: false, tells };
}

/** A call that changes a day: one step of its history. */
export function change<I, O>(input: z.ZodType<I>, tells: StepsTold | null = null): Call<I, O> {
  return { input, changesDay: true, tells };
}

export const dayId = z.number().int().positive();

export const path = z.string().min(1).max(4096);
