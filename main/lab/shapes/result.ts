/** Kept results of trials. One that does not fit is no fault: it is computed again. */
import { z } from 'zod';

/** Enters what a result stands for: results of another shape are never found, so never misread. */
export const RESULT_VERSION = 4;

const number = z.number().nullable();
const measured = z.object({ value: z.number(), u: number }).nullable();
const hand = z.object({
  peakForce: measured,
  meanForce: measured,
  impulse: measured,
  zeroShiftKpa: number,
  strokes: z.number(),
  idcPct: number,
});
const flags = z.array(z.string()).readonly();

const progress = z.object({ done: z.number(), expected: number, missing: z.array(z.string()).readonly() });

const outcome = z.object({
  progress: z.object({ left: progress, right: progress }),
  result: z.object({
    sectionM: number,
    sectionTimeS: number,
    velocity: measured,
    cycleTime: measured,
    strokeRate: measured,
    strokeLength: measured,
    idc: measured,
    highHand: measured,
    entryPosition: z.string().nullable(),
    hands: z.object({ left: hand, right: hand }),
    forceSymmetry: measured,
    propulsionBasis: z.string().nullable(),
    strokes: z
      .array(
        z.object({
          stroke: z.object({ hand: z.enum(['left', 'right']), number: z.number(), marks: z.looseObject({}) }),
          counts: z.boolean(),
          highHand: measured,
          peakForce: measured,
          flags,
        }),
      )
      .readonly(),
    strokesMeasured: z.number(),
    check: z.object({
      verdict: z.enum(['good', 'look', 'swim_again']),
      findings: z.array(z.object({ says: z.string() })).readonly(),
    }),
    flags,
  }),
  trace: z.object({ startS: z.number(), rateHz: z.number(), count: z.number() }).nullable(),
  films: z
    .array(z.object({ camera: z.string(), file: z.string(), frameTimesS: z.array(z.number()).readonly() }))
    .readonly(),
  refused: z.array(z.object({ file: z.string(), reason: z.string() })).readonly(),
});

/**
 * The kept result in a JSON text as it was written; null where it is of another shape. The type asked for must have what
 * the shape looks at, so that a field renamed in core does not compile until it is renamed here.
 */
export function readResult<T extends z.infer<typeof outcome>>(json: string): T | null {
  let value: unknown;
  try {
    value = JSON.parse(json);
  } catch {
    return null;
  }
  return outcome.safeParse(value).success ? (value as T) : null;
}
