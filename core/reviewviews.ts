/**
 * What review shows and takes: marks, judgements, moments on both clocks, section times, second opinions. Schemas stand
 * here where a screen sends the thing back; plain types where the lab alone makes it.
 */
import { z } from 'zod';
import { EVENTS } from './stroke.ts';
import { isCode } from './table.ts';
import type { TrialView } from './views.ts';

const code = z.string().refine(isCode, 'takes 1 to 64 of the characters A–Z a–z 0–9 _ . -');
const hand = z.enum(['left', 'right']);
const strokeNumber = z.number().int().positive();

/** A mark as made: its time on the clock it was made on, s. */
export const markRow = z.strictObject({
  hand,
  stroke: strokeNumber,
  event: z.enum(EVENTS),
  timeS: z.number(),
  clock: z.enum(['trace', 'video']),
  /** Null on the trace. */
  camera: code.nullable(),
});
export type MarkRow = z.infer<typeof markRow>;
export const markRows = z.array(markRow).max(5000);

/** What a person judged of a stroke. */
export const judgementRow = z.strictObject({
  hand,
  stroke: strokeNumber,
  entryPosition: z.enum(['above', 'level', 'below']).nullable(),
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

/** A second opinion: trials marked anew without names, groups or first marks, in an order drawn from a seed. */
export interface BlindSession {
  readonly id: number;
  readonly rater: string;
  readonly seed: string;
  readonly items: readonly { readonly item: number; readonly label: string; readonly marks: number }[];
  /** True once the rater has said that it is done; only then agreement counts it. */
  readonly closed: boolean;
}

/** A trial to mark blind: nothing tells whose it is. `result` is computed from this rater's marks alone. */
export type BlindTrial = Omit<TrialView, 'participant' | 'condition' | 'attempt' | 'inputs' | 'status'> & {
  readonly session: number;
  readonly item: number;
};

/** A number with its 95 % confidence limits, in one unit. */
export interface Limited {
  readonly value: number;
  readonly low: number | null;
  readonly high: number | null;
}

/** Agreement of two raters on one measured thing, in its unit; the coefficients have none. */
export interface ValueAgreementView {
  readonly n: number;
  readonly bias: Limited;
  readonly lowerLimit: Limited;
  readonly upperLimit: Limited;
  readonly typicalError: number;
  readonly icc21: Limited | null;
  readonly icc31: Limited | null;
}

/** Agreement of two raters on entry position. */
export interface RatingAgreementView {
  readonly n: number;
  readonly agreedPct: number;
  readonly kappa: Limited | null;
  readonly weightedKappa: Limited | null;
}

/** Agreement of two raters over a day. */
export interface AgreementView {
  readonly day: number;
  /** How strokes of two raters were matched, in a sentence. */
  readonly matching: string;
  /** Pairs of raters that marked the same trials. */
  readonly pairs: readonly {
    readonly first: string;
    readonly second: string;
    readonly trials: readonly string[];
    /** Per event (times, s) and per quantity (its unit). */
    readonly values: readonly {
      readonly name: string;
      readonly unit: string;
      readonly agreement: ValueAgreementView | null;
      /** What each rater gave, pair by pair, in `unit`. */
      readonly points: readonly { readonly first: number; readonly second: number }[];
      /** Why the agreement, or its coefficients, are empty. */
      readonly reason: string | null;
    }[];
    /** Entry position. */
    readonly entry: RatingAgreementView | null;
    readonly entryReason: string | null;
  }[];
}

/** Path (below the host's root) of a hand's raw samples on the trace's grid: little-endian float64. */
export function rawPath(day: number, trial: string, which: 'left' | 'right'): string {
  return `/raw/${day}/${trial}/${which}`;
}
