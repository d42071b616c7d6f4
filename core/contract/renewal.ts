/** What the program's own change does to kept numbers: the calls that ask for it, and what they give to show. */
import { z } from 'zod';
import type { Shown } from '../base/shown.ts';
import type { NumberDifference } from '../dataset/renewal.ts';
import { call } from './call.ts';
import type { JobView } from './views.ts';

/** A kept number that this program computes otherwise from the same inputs. */
export interface RenewedNumber extends NumberDifference {
  /** Why, a sentence each; empty where no change of the program is noted that moves it. */
  readonly why: readonly string[];
}

/** A trial whose kept numbers differ from those of this program. */
export interface RenewedTrial {
  readonly day: string;
  readonly trial: Shown<string>;
  /** The version that computed the kept numbers. */
  readonly from: string;
  /** A screen is given the first hundred. */
  readonly numbers: readonly RenewedNumber[];
  readonly more: number;
}

/** How the kept numbers stand against this version of the program. */
export interface RenewalView {
  readonly version: string;
  /** Trials whose kept numbers another version computed. */
  readonly waiting: readonly { readonly version: string; readonly trials: number }[];
  /** What came of holding them against each other, as sentences; null where that was not done yet. */
  readonly says: string | null;
  /** A screen is given the first two hundred. */
  readonly trials: readonly RenewedTrial[];
  readonly more: number;
  /** When numbers of a version were taken over and by whom, oldest first. */
  readonly taken: readonly { readonly says: string; readonly who: string; readonly at: string }[];
}

const nothing = z.strictObject({});

export const RENEWAL_CALLS = {
  'numbers.get': call<Record<string, never>, RenewalView>(nothing),
  /**
   * Computes beside what is kept every trial that another version computed: those whose numbers are the same are kept
   * as this version's, the others stand in `numbers.get`. Follow it with `jobs.get`.
   */
  'numbers.compare': call<Record<string, never>, JobView>(nothing),
  /** Puts the numbers of this version in place of the kept ones that differ. */
  'numbers.take': call<Record<string, never>, JobView>(nothing),
} as const;
