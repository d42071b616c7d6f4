/** What the commands print to, and the exit statuses of formats.md section 3. */
import { largest } from '../../core/base/extent.ts';
export interface Terminal {
  readonly print: (text: string) => void;
  readonly error: (text: string) => void;
  /** Rewrites one line in place; null where the output is no terminal. An empty text clears the line. */
  readonly progress: ((text: string) => void) | null;
}

export const COMPLETE = 0;
export const NOTHING = 1;
export const USAGE = 2;
export const PARTLY = 3;

/** A plain table with its columns lined up: text to the left, numbers to the right. */
export function alignColumns(rows: readonly (readonly string[])[], numeric: readonly boolean[]): string {
  const widths = (rows[0] ?? []).map((_, column) => largest(rows.map((row) => row[column]!.length)));
  return rows
    .map((row) =>
      row
        .map((cell, column) =>
          numeric[column] === true ? cell.padStart(widths[column]!) : cell.padEnd(widths[column]!),
        )
        .join('  ')
        .trimEnd(),
    )
    .join('\n');
}

/** Does something long that Ctrl-C, or an ending of the program from outside, cancels by its signal. */
export async function cancelledBy<T>(work: (signal: AbortSignal) => Promise<T>): Promise<T> {
  const cancel = new AbortController();
  const onSignal = () => cancel.abort();
  for (const name of ENDINGS) process.once(name, onSignal);
  try {
    return await work(cancel.signal);
  } finally {
    for (const name of ENDINGS) process.off(name, onSignal);
  }
}

const ENDINGS = ['SIGINT', 'SIGTERM'] as const;
