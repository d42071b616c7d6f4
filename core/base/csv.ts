/**
 * Cells as text: how they are printed (RFC 4180 quoting) and how one that a spreadsheet would run is kept from it.
 * Contract: formats.md section 3.
 */

/** One cell; null is printed as nothing. */
export type Cell = string | number | boolean | null;

/** What a spreadsheet would take for the beginning of a formula, and the apostrophe that keeps it from that. */
const RUNS = /^[=+\-@\t\r']/;

/** What is printed as it stands: nothing to guard, nothing to quote. */
const PLAIN = /^[A-Za-z0-9_][A-Za-z0-9_.;-]*$/;

/** A text that a spreadsheet would run, with one apostrophe before it; any other as it is. */
export function guardText(text: string): string {
  return RUNS.test(text) ? `'${text}` : text;
}

/** A text as it was before {@link guardText}: one apostrophe is taken off where it guards what follows. */
export function unguardText(text: string): string {
  return text.startsWith("'") && RUNS.test(text.slice(1)) ? text.slice(1) : text;
}

/**
 * A cell as printed: a finite number reads back as the same double, any other is nothing; text is guarded, and quoted
 * where RFC 4180 asks for it.
 */
export function printCell(cell: Cell): string {
  if (cell === null) return '';
  if (typeof cell === 'number') return Number.isFinite(cell) ? `${cell}` : '';
  if (typeof cell === 'boolean') return cell ? 'true' : 'false';
  return PLAIN.test(cell) ? cell : quoteText(guardText(cell));
}

/** One row of a table as CSV, its line end with it. */
export function printRow(row: readonly Cell[]): string {
  let text = '';
  for (let at = 0; at < row.length; at++) text += at === 0 ? printCell(row[at]!) : `,${printCell(row[at]!)}`;
  return `${text}\n`;
}

/** A text as it stands, quoted where RFC 4180 asks for it. */
export function quoteText(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
