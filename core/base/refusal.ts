/**
 * What a person hears when something they gave could not be used.
 * A refusal is a value, never an exception: the rest of the work goes on without the thing refused.
 */

export interface Refusal {
  /** Path inside the day folder, with forward slashes. */
  readonly file: string;
  /** Physical line, from 1, the first of those it stands for; null where the refusal concerns the whole file. */
  readonly line: number | null;
  /** Column or field the sentence is about; null where it concerns the row or file. */
  readonly field: string | null;
  /** One sentence: what is wrong, quoting it, and what to do. */
  readonly reason: string;
  /** The last line and the number of rows that it stands for; absent where it is one row, or the whole file. */
  readonly lastLine?: number;
  readonly rows?: number;
  /** True where rows were left out only because what they belong to was refused. */
  readonly follows?: true;
}

/** Result of something a person can cause to fail; `E` says what is wrong and what to do. */
export type Outcome<T, E> =
  { readonly ok: true; readonly value: T } | { readonly ok: false; readonly error: E };

/** The outcome that it could be done, with its value. */
export function done<T>(value: T): { readonly ok: true; readonly value: T } {
  return { ok: true, value };
}

/** The outcome that it could not be done, with what is wrong. */
export function failed<E>(error: E): { readonly ok: false; readonly error: E } {
  return { ok: false, error };
}

/** A fault of the program as a person hears of it. */
export function bugSaid(error: unknown): LabError {
  return {
    code: 'fault',
    says: `The program met a fault of its own: ${error instanceof Error ? error.message : String(error)}.`,
    todo: 'Nothing that was saved is lost. Go on with the rest, and report this sentence.',
  };
}

/** An error that a person can cause: shown beside the thing that caused it. */
export interface LabError {
  readonly code:
    | 'not_found'
    | 'not_a_day'
    | 'place_not_allowed'
    | 'lab_folder'
    | 'bad_input'
    | 'changed_meanwhile'
    | 'unreadable'
    | 'cancelled'
    /** A bug: nobody caused it. */
    | 'fault';
  /** What is wrong, and where. */
  readonly says: string;
  /** What to do about it. */
  readonly todo: string;
}
