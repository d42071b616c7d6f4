/**
 * What review shows and takes: marks, judgements, moments on both clocks, section times, second opinions. Schemas stand
 * here where a screen sends the thing back; plain types where the lab alone makes it.
 */
import type { TrialView } from './views.ts';

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
export type BlindTrial = Omit<
  TrialView,
  | 'trial'
  | 'previousTrial'
  | 'nextUnmarked'
  | 'nextTrial'
  | 'participant'
  | 'condition'
  | 'attempt'
  | 'inputs'
  | 'status'
  | 'evidence'
  | 'reportedWhy'
> & {
  /** A token in place of the trial's code, which would tell whose it is. */
  readonly trial: string;
  readonly previousTrial: string | null;
  readonly nextTrial: string | null;
  readonly nextUnmarked: null;
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
  /** Swimmers whose strokes they are: limits are by swimmer, null with one. */
  readonly swimmers: number;
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
    /** What is to be told where the raters read propulsion from different things; null where they do not. */
    readonly basisSays: string | null;
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
