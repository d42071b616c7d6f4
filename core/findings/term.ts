/** What a test answers: rows of tests.csv without the plan's words, or a sentence that says why there are none. */
import { failed, type Outcome } from '../base/refusal.ts';

export interface Limits {
  readonly low: number;
  readonly high: number;
}

/** An effect; an upper limit that is infinite is null. */
export interface Effect {
  readonly name: string;
  readonly value: number | null;
  readonly limits: { readonly low: number; readonly high: number | null } | null;
}

/** One row of an answer; null where the test names no such number. */
export interface Term {
  /** Empty for tests of one row. */
  readonly term: string;
  readonly statistic: number | null;
  readonly df1: number | null;
  readonly df2: number | null;
  readonly p: number | null;
  readonly effect: Effect | null;
  /** In the unit of the outcome, or of outcome over `on`. */
  readonly estimate: number | null;
  readonly limits: Limits | null;
  readonly notes: readonly string[];
  /** Where it differs from the number of units given to the test. */
  readonly n?: number;
}

const EMPTY: Term = {
  term: '',
  statistic: null,
  df1: null,
  df2: null,
  p: null,
  effect: null,
  estimate: null,
  limits: null,
  notes: [],
};

/** A row of an answer of which only these parts are known. */
export function term(parts: Partial<Term>): Term {
  return { ...EMPTY, ...parts };
}

/** The rows of an answer; the failure is one sentence. */
export type Answer = Outcome<readonly Term[], string>;

/** Why a question has no answer, in a sentence. */
export function noAnswer(says: string): Answer {
  return failed(says);
}

/** A group of values under its name. */
export interface Group {
  readonly name: string;
  readonly values: readonly number[];
}
