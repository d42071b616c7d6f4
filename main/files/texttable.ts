/** Reads a small CSV table whole, as text with physical line numbers. */
import { readFile } from 'node:fs/promises';
import Papa from 'papaparse';
import { done, failed, type Outcome, type Refusal } from '../../core/refusal.ts';
import type { TextRow, TextTable } from '../../core/table.ts';
import { findDelimiter, isPreamble, splitLine } from './dialect.ts';

/** Reads a small UTF-8 file whole, without its byte order mark. `file` is its path inside the day, for sentences. */
export async function readText(absolute: string, file: string): Promise<Outcome<string, Refusal>> {
  const refuse = (reason: string) => failed({ file, line: null, field: null, reason });
  try {
    return done(new TextDecoder('utf-8', { fatal: true }).decode(await readFile(absolute)));
  } catch (error) {
    if (error instanceof TypeError)
      return refuse(`${file} is not UTF-8 text; save it as UTF-8 and open the day again.`);
    return refuse(`${file} cannot be read (${(error as Error).message}).`);
  }
}

/**
 * Reads a table's text.
 * @param file its path inside the day, for sentences
 * @param expected column names that tell the separator
 */
export async function readTextTable(
  absolute: string,
  file: string,
  expected: readonly string[],
): Promise<Outcome<TextTable, Refusal>> {
  const text = await readText(absolute, file);
  return text.ok ? parseTextTable(text.value, file, expected) : text;
}

/** Parses a table's text; see {@link readTextTable}. */
export function parseTextTable(
  text: string,
  file: string,
  expected: readonly string[],
): Outcome<TextTable, Refusal> {
  const lines = text.replaceAll('\r\n', '\n').replaceAll('\r', '\n').split('\n');
  const at = lines.findIndex((line) => !isPreamble(line));
  if (at < 0) {
    const reason = `${file} has no header row; write the column names in its first line.`;
    return failed({ file, line: null, field: null, reason });
  }
  const delimiter = findDelimiter(lines[at]!, expected);
  const header = splitLine(lines[at]!, delimiter);
  const body = lines.slice(at + 1).join('\n');
  return done({ file, header, rows: parseRows(body, delimiter, at + 2) });
}

function parseRows(body: string, delimiter: string, firstLine: number): TextRow[] {
  const rows: TextRow[] = [];
  let line = firstLine;
  let cursor = 0;
  Papa.parse<string[]>(body, {
    delimiter,
    newline: '\n',
    step({ data, meta }) {
      if (data.some((cell) => cell.trim() !== '')) rows.push({ line, cells: data });
      for (let i = cursor; i < meta.cursor; i++) if (body.charCodeAt(i) === 10) line++;
      cursor = meta.cursor;
    },
  });
  return rows;
}
