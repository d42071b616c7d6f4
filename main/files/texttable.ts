/** Reads a small CSV table whole, as text with physical line numbers. */
import { readFile } from 'node:fs/promises';
import Papa from 'papaparse';
import { done, failed, type Outcome, type Refusal } from '../../core/base/refusal.ts';
import type { TextRow, TextTable } from '../../core/base/table.ts';
import { findDelimiter, isPreamble, splitLine } from './dialect.ts';

/** The refusal of a file that the machine will not read; it names the file by its path inside the day only. */
export function unreadable(file: string, error: unknown): Refusal {
  const code = (error as NodeJS.ErrnoException).code ?? 'unknown error';
  const reason = `${file} cannot be read (${code}); see that the file is whole and that you may read it.`;
  return { file, line: null, field: null, reason };
}

/** Reads a small UTF-8 file whole, without its byte order mark. `file` is its path inside the day, for sentences. */
export async function readText(absolute: string, file: string): Promise<Outcome<string, Refusal>> {
  let bytes;
  try {
    bytes = await readFile(absolute);
  } catch (error) {
    return failed(unreadable(file, error));
  }
  try {
    return done(new TextDecoder('utf-8', { fatal: true }).decode(bytes));
  } catch {
    const reason = `${file} is not UTF-8 text; save it as UTF-8 and bring it in again.`;
    return failed({ file, line: null, field: null, reason });
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
  return done({
    file,
    header,
    decimalComma: delimiter !== ',',
    ...parseRows(lines.slice(at + 1), delimiter, at + 2),
  });
}

/**
 * Parses the rows below the header. A quote that is opened and never closed would swallow what follows: the line it
 * stands in is put aside alone, and reading goes on below it.
 */
function parseRows(
  lines: readonly string[],
  delimiter: string,
  firstLine: number,
): Pick<TextTable, 'rows' | 'unclosed'> {
  const rows: TextRow[] = [];
  const unclosed: number[] = [];
  let from = 0;
  while (from < lines.length) {
    const body = lines.slice(from).join('\n');
    let line = firstLine + from;
    let cursor = 0;
    let broken: number | null = null;
    Papa.parse<string[]>(body, {
      delimiter,
      newline: '\n',
      step({ data, errors, meta }) {
        if (errors.some(({ code }) => code === 'MissingQuotes')) broken = line;
        else if (data.some((cell) => cell.trim() !== '')) rows.push({ line, cells: data });
        for (let i = cursor; i < meta.cursor; i++) if (body.charCodeAt(i) === 10) line++;
        cursor = meta.cursor;
      },
    });
    if (broken === null) break;
    unclosed.push(broken);
    from = broken - firstLine + 1;
  }
  return { rows, unclosed };
}
