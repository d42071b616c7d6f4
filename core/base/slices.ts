/**
 * Long work over rows in slices: between two of them whoever drives it may let other work go on, or give it up. Core
 * knows no clock and no other work, so it only says where it can be interrupted.
 */

/** Work that stops at every `yield` until it is asked to go on; returns what it comes to. */
export type Slices<T> = Generator<undefined, T, undefined>;

/** Rows of a slice: some hundredths of a second of work. */
const SLICE_ROWS = 4096;

/** True after so many rows that it is time to stop. @param row counted from 0 */
export function endsSlice(row: number): boolean {
  return row % SLICE_ROWS === SLICE_ROWS - 1;
}

/** Does the work without stopping; gives what it comes to. */
export function inOneGo<T>(slices: Slices<T>): T {
  for (;;) {
    const slice = slices.next();
    if (slice.done === true) return slice.value;
  }
}
