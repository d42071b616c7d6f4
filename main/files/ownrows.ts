/**
 * The rows of one swimmer in a table of a day folder, as they stand there byte for byte: kept alone, or left blank. A
 * row that is left blank keeps its lines, so that what is said of the lines of others stays true.
 */
import { unguardText } from '../../core/base/csv.ts';
import type { TextTable } from '../../core/base/table.ts';

/** Tells of a row whether it is the swimmer's: `of` gives the cell of a column, null where there is none. */
export type IsOwn = (of: (column: string) => string | null) => boolean;

interface Cut {
  /** Physical lines with their ends; the first is line 1. */
  readonly lines: readonly string[];
  /** For each line, whether a row of the swimmer stands on it. */
  readonly own: readonly boolean[];
  /** The line of the first row; those before it are the header and what stands above. */
  readonly first: number;
}

/** @param text of the file, one character per byte (latin1) */
function cut(text: string, table: TextTable, isOwn: IsOwn): Cut {
  const lines = text.match(/[^\r\n]*(?:\r\n|\n|\r)|[^\r\n]+$/g) ?? [];
  const own = lines.map(() => false);
  const rows = [...table.rows];
  for (const [index, { line, cells }] of rows.entries()) {
    const of = (column: string) => {
      const place = table.header.indexOf(column);
      return place < 0 ? null : unguardText((cells[place] ?? '').trim());
    };
    if (!isOwn(of)) continue;
    const end = rows[index + 1]?.line ?? lines.length + 1;
    for (let at = line; at < end; at++) own[at - 1] = true;
  }
  return { lines, own, first: rows[0]?.line ?? lines.length + 1 };
}

const ENDS = /[\r\n]*$/;

/** The table with the swimmer's rows left blank. */
export function blankRows(text: string, table: TextTable, isOwn: IsOwn): string {
  const { lines, own } = cut(text, table, isOwn);
  return lines.map((line, index) => (own[index] === true ? (ENDS.exec(line)?.[0] ?? '') : line)).join('');
}

/** The header of the table and the swimmer's rows below it; null where it has none. */
export function ownRows(text: string, table: TextTable, isOwn: IsOwn): string | null {
  const { lines, own, first } = cut(text, table, isOwn);
  const rows = lines.filter((_, index) => own[index]);
  if (rows.length === 0) return null;
  // Lines above the header are the lab's words on the whole table; a line of units may stand below it.
  const above = lines.slice(0, first - 1).filter((line) => !line.trim().startsWith('#'));
  return [...above, ...rows].join('');
}
