import { shownLines } from '../../../core/base/plaintext.ts';

/** Tells of a fault of the program on the terminal; texts of a person's files in it are shown, not obeyed. */
export function sayBug(error: unknown): void {
  console.error(shownLines(error instanceof Error ? (error.stack ?? error.message) : String(error)));
}
