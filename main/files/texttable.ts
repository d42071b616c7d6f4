/** Reads a small CSV table in one pass over its bytes, rows kept as bytes until they are asked for. */
import { open, readFile, stat } from 'node:fs/promises';
import { isUtf8 } from 'node:buffer';
import { done, failed, type Outcome, type Refusal } from '../../core/base/refusal.ts';
import type { TextTable } from '../../core/base/table.ts';
import { findDelimiter, isPreamble, splitLine } from './dialect.ts';
import { RowFinder } from './rowfinder.ts';

/** The refusal of a file that the machine will not read; it names the file by its path inside the day only. */
export function unreadable(file: string, error: unknown): Refusal {
  const code = (error as NodeJS.ErrnoException).code ?? 'unknown error';
  return wholeFile(
    file,
    `${file} cannot be read (${code}); see that the file is whole and that you may read it.`,
  );
}

function wholeFile(file: string, reason: string): Refusal {
  return { file, line: null, field: null, reason };
}

/** The largest text that is read whole, bytes. */
const MOST_TEXT = 1 << 26;
/** The largest day.json, bytes: a hundred times what a day of fifty sensors needs. */
export const MOST_DAY_JSON = 1 << 22;

function notUtf8(file: string): Refusal {
  return wholeFile(file, `${file} is not UTF-8 text; save it as UTF-8 and bring it in again.`);
}

/** Reads a small UTF-8 file whole, without its byte order mark. `file` is its path inside the day, for sentences. */
export async function readText(
  absolute: string,
  file: string,
  most = MOST_TEXT,
): Promise<Outcome<string, Refusal>> {
  let bytes;
  try {
    const { size } = await stat(absolute);
    if (size > most)
      return failed(
        wholeFile(
          file,
          `${file} holds ${size} bytes; at most ${most} are read. Take out what is not needed.`,
        ),
      );
    bytes = await readFile(absolute);
  } catch (error) {
    return failed(unreadable(file, error));
  }
  try {
    return done(new TextDecoder('utf-8', { fatal: true }).decode(bytes));
  } catch {
    return failed(notUtf8(file));
  }
}

const CHUNK = 1 << 18;
const MARK = '\uFEFF';

/**
 * Reads a table. Other work goes on between its pieces; an aborted signal rejects with its reason.
 * @param file its path inside the day, for sentences
 * @param expected column names that tell the separator
 * @param onShare told after each piece which share of the file has been read, 0 to 1
 */
export async function readTextTable(
  absolute: string,
  file: string,
  expected: readonly string[],
  signal?: AbortSignal,
  onShare: (share: number) => void = () => undefined,
): Promise<Outcome<TextTable, Refusal>> {
  const reader = new TableReader(file, expected);
  let handle;
  try {
    handle = await open(absolute, 'r');
    // What is left of a piece is kept with the next: each piece has a buffer of its own, small for a small table.
    const { size } = await handle.stat();
    const room = Math.min(CHUNK, size + 1);
    for (let read = 0; ;) {
      const { buffer, bytesRead } = await handle.read(Buffer.allocUnsafe(room), 0, room);
      if (bytesRead === 0) break;
      signal?.throwIfAborted();
      reader.take(buffer.subarray(0, bytesRead));
      if (reader.fault !== null) break;
      read += bytesRead;
      onShare(Math.min(1, read / size));
    }
  } catch (error) {
    if (signal?.aborted === true || (error as NodeJS.ErrnoException).code === undefined) throw error;
    return failed(unreadable(file, error));
  } finally {
    await handle?.close();
  }
  return reader.table();
}

/** Parses a table's text; see {@link readTextTable}. */
export function parseTextTable(
  text: string,
  file: string,
  expected: readonly string[],
): Outcome<TextTable, Refusal> {
  const reader = new TableReader(file, expected);
  reader.take(Buffer.from(text));
  return reader.table();
}

/** Columns that a header may have. */
const MOST_COLUMNS = 1000;
/** Longer than any header. */
const LONGEST_HEADER = 1 << 20;
const [NEWLINE, RETURN] = [10, 13];

/** Takes a table's bytes as they come: lines before the header, the header, then rows. */
class TableReader {
  fault: Refusal | null = null;
  private readonly file: string;
  private readonly expected: readonly string[];
  private head: Buffer = Buffer.alloc(0);
  private line = 1;
  private found: { header: readonly string[]; delimiter: string; rows: RowFinder } | null = null;

  constructor(file: string, expected: readonly string[]) {
    this.file = file;
    this.expected = expected;
  }

  take(bytes: Buffer): void {
    if (this.fault !== null) return;
    if (this.found === null) this.takeHead(bytes, false);
    else this.found.rows.take(bytes);
    this.fault ??= this.found?.rows.fault ?? null;
  }

  table(): Outcome<TextTable, Refusal> {
    if (this.found === null && this.fault === null) this.takeHead(Buffer.alloc(0), true);
    if (this.fault !== null) return failed(this.fault);
    if (this.found === null)
      return failed(
        wholeFile(this.file, `${this.file} has no header row; write the column names in its first line.`),
      );
    const { header, delimiter, rows } = this.found;
    rows.end();
    if (rows.fault !== null) return failed(rows.fault);
    return done({
      file: this.file,
      header,
      decimalComma: delimiter !== ',',
      rows: rows.rows(),
      unclosed: rows.unclosed,
    });
  }

  private takeHead(bytes: Buffer, isEnd: boolean): void {
    const head = this.head.length === 0 ? bytes : Buffer.concat([this.head, bytes]);
    let start = 0;
    while (start < head.length) {
      let end = start;
      while (end < head.length && head[end] !== NEWLINE && head[end] !== RETURN) end++;
      // A return at the end may be half of a line end.
      const isCut = end >= head.length || (head[end] === RETURN && end + 1 === head.length);
      if (isCut && !isEnd) break;
      const next = head[end] === RETURN && head[end + 1] === NEWLINE ? end + 2 : end + 1;
      if (this.readHeader(head.subarray(start, end))) {
        this.found?.rows.take(head.subarray(Math.min(next, head.length)));
        return;
      }
      this.line++;
      start = next;
    }
    this.head = Buffer.from(head.subarray(start));
    if (this.head.length > LONGEST_HEADER)
      this.fault = wholeFile(
        this.file,
        `${this.file} holds no lines of text; save it as CSV and bring it in again.`,
      );
  }

  /** True where the line is the header, or a fault was found in it. */
  private readHeader(bytes: Buffer): boolean {
    if (!isUtf8(bytes)) {
      this.fault = notUtf8(this.file);
      return true;
    }
    const text = bytes.toString('utf8');
    const line = this.line === 1 && text.startsWith(MARK) ? text.slice(1) : text;
    if (isPreamble(line)) return false;
    const delimiter = findDelimiter(line, this.expected);
    const header = splitLine(line, delimiter);
    if (header.length > MOST_COLUMNS)
      this.fault = wholeFile(
        this.file,
        `The header of ${this.file} has ${header.length} columns, and at most ${MOST_COLUMNS} are read; take out those that are not needed.`,
      );
    else this.found = { header, delimiter, rows: new RowFinder(this.file, delimiter, this.line + 1) };
    return true;
  }
}
