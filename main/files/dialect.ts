/**
 * The dialect of a lab's CSV file, found without being told: byte order mark, `#` lines before the header, separator,
 * line ends. Contract: formats.md section 1.
 */
import Papa from 'papaparse';

export type Delimiter = ',' | ';' | '\t';
const DELIMITERS: readonly Delimiter[] = [',', ';', '\t'];

/** Cells of one row with quotes in it; line ends inside them become LF. */
export function splitQuoted(row: string, delimiter: string): string[] {
  const text = row.replaceAll('\r\n', '\n').replaceAll('\r', '\n');
  return Papa.parse<string[]>(text, { delimiter, newline: '\n' }).data[0] ?? [];
}

/** Cells of one line, quotes resolved by papaparse. */
export function splitLine(line: string, delimiter: Delimiter): string[] {
  return (Papa.parse<string[]>(line, { delimiter, newline: '\n' }).data[0] ?? []).map((cell) => cell.trim());
}

/**
 * The separator of a header line: the one under which most of the expected columns appear, else the one that makes
 * most cells.
 */
export function findDelimiter(header: string, expected: readonly string[]): Delimiter {
  let best: Delimiter = ',';
  let bestScore = -1;
  for (const delimiter of DELIMITERS) {
    const cells = splitLine(header, delimiter);
    const known = expected.filter((name) => cells.includes(name)).length;
    const score = known * 1000 + cells.length;
    if (score > bestScore) [best, bestScore] = [delimiter, score];
  }
  return best;
}

/** True for a line that may stand before the header: blank or a comment. */
export function isPreamble(line: string): boolean {
  const text = line.trim();
  return text === '' || text.startsWith('#');
}
