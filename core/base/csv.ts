/** One cell; null is printed as nothing. */
export type Cell = string | number | boolean | null;

/** A cell as printed: a number reads back as the same double; text is quoted where RFC 4180 asks for it. */
export function printCell(cell: Cell): string {
  if (cell === null) return '';
  if (typeof cell !== 'string') return String(cell);
  return /[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
}
