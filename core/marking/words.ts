import { z } from 'zod';
import { hand, strokeNumber, code, notNegative } from '../base/codes.ts';
import { ENTRY_WORDS, EVENTS } from '../stroke/stroke.ts';

/** A mark as made: its time on the clock it was made on, s. */
export const markRow = z.strictObject({
  hand,
  stroke: strokeNumber,
  event: z.enum(EVENTS),
  timeS: z.number(),
  clock: z.enum(['trace', 'video']),
  /** Null on the trace. */
  camera: code.nullable(),
  /** Standard uncertainty of this mark, s, in place of reading and placing; null where those hold. */
  uS: notNegative.nullable().default(null),
  /** A further part that all marks of this event in the trial share, s; null for none. */
  sharedUS: notNegative.nullable().default(null),
  /** True where who marked was not sure of it; absent where they were. It changes no number. */
  unsure: z.literal(true).optional(),
});

export type MarkRow = z.infer<typeof markRow>;

export const markRows = z.array(markRow).max(5000);

/** What a person judged of a stroke. */
export const judgementRow = z.strictObject({
  hand,
  stroke: strokeNumber,
  entryPosition: z.enum(ENTRY_WORDS).nullable(),
  breath: z.enum(['none', 'left', 'right']).nullable(),
  exclusionReason: z.string().trim().min(1).max(300).nullable(),
});

export type JudgementRow = z.infer<typeof judgementRow>;

export const judgementRows = z.array(judgementRow).max(2000);

/** A moment seen on the trace and on a camera's film, s each on its own clock. */
export const pairRow = z.strictObject({
  camera: code,
  traceS: z.number(),
  videoS: z.number().nonnegative(),
  what: z.string().max(200),
});

export type PairRow = z.infer<typeof pairRow>;

export const pairRows = z.array(pairRow).max(500);

/** Section times on the trial's clock, and how they were come by. */
export const sectionWord = z.strictObject({
  startS: z.number(),
  endS: z.number(),
  method: z.enum(['video', 'gate', 'stopwatch']).nullable(),
  /** Standard uncertainty of one section time, s. */
  uS: z.number().nonnegative().nullable(),
});

export type SectionWord = z.infer<typeof sectionWord>;

/** Everything of a trial that a person marks, as it stands: what the numbers of the trial come from. */
export interface TrialMarking {
  /** Who made the reported marks; null where the file does not say. */
  readonly rater: string | null;
  readonly marks: readonly MarkRow[];
  readonly judgements: readonly JudgementRow[];
  readonly pairs: readonly PairRow[];
  readonly section: SectionWord | null;
  /** Raters with marks on this trial, in the order of the file; more than one means a second opinion is there. */
  readonly raters: readonly (string | null)[];
}
