/** One cell; null is printed as nothing. */
export type Cell = string | number | boolean | null;

/** What a spreadsheet would take for a formula at the start of a text, or for the mark that none is meant. */
const ACTIVE = /^[=+\-@\t\r']/;

/** A text as it stands in a file: one apostrophe before what a spreadsheet would run as a formula. */
export function guardText(text: string): string {
  return ACTIVE.test(text) ? `'${text}` : text;
}

/** A text as it was before {@link guardText}; one that was never guarded stays as it is. */
export function unguardText(text: string): string {
  return text.startsWith("'") && ACTIVE.test(text.slice(1)) ? text.slice(1) : text;
}

/** A cell as printed: a number reads back as the same double; text is quoted where RFC 4180 asks for it. */
export function printCell(cell: Cell): string {
  if (cell === null) return '';
  if (typeof cell !== 'string') return String(cell);
  return /[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
}
