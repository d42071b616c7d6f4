/**
 * Finds the rows of a CSV file in its bytes, in one pass: RFC 4180 section 2, lines that end in CR, LF or both. A
 * quote that is opened and never closed would swallow what follows: the line it stands in is put aside alone, and
 * reading goes on below it.
 */
import { isUtf8 } from 'node:buffer';
import type { Refusal } from '../../core/base/refusal.ts';
import type { TextRow } from '../../core/base/table.ts';
import { splitQuoted } from './dialect.ts';

const [TAB, NEWLINE, RETURN, SPACE, QUOTE] = [9, 10, 13, 32, 34];

/** A cell in quotes may go over so many lines and bytes; one that goes on is taken for a quote never closed. */
const MOST_QUOTED_LINES = 100;
const MOST_QUOTED_BYTES = 1 << 14;
/** Longer than any row. */
const LONGEST_ROW = 1 << 20;
/** What a table may hold besides blank lines: thirty times a long day's marks. All of it is in memory at once. */
export const MOST_TABLE_BYTES = 1 << 26;
export const MOST_TABLE_ROWS = 1_000_000;

/** Where a row ends: `end` is behind its last byte, `next` behind its line end; null where more bytes are needed. */
interface RowEnd {
  readonly end: number;
  readonly next: number;
  readonly lines: number;
  /** True where a quote of the row's first line is never closed; the row is then that line. */
  readonly broken: boolean;
  readonly quoted: boolean;
}

export class RowFinder {
  readonly unclosed: number[] = [];
  fault: Refusal | null = null;
  private readonly file: string;
  private readonly delimiter: string;
  private readonly separator: number;
  private line: number;
  private rest: Buffer = Buffer.alloc(0);
  private readonly found: { readonly line: number; readonly text: string; readonly quoted: boolean }[] = [];
  private size = 0;

  /** @param firstLine physical line of the first byte */
  constructor(file: string, delimiter: string, firstLine: number) {
    this.file = file;
    this.delimiter = delimiter;
    this.separator = delimiter.charCodeAt(0);
    this.line = firstLine;
  }

  take(bytes: Buffer): void {
    const all = this.rest.length === 0 ? bytes : Buffer.concat([this.rest, bytes]);
    this.rest = Buffer.from(all.subarray(this.read(all, false)));
    if (this.rest.length > LONGEST_ROW) this.fail(`line ${this.line} of ${this.file} is longer than any row`);
  }

  end(): void {
    this.read(this.rest, true);
    this.rest = Buffer.alloc(0);
  }

  /** The rows, cut into cells when they are asked for. */
  rows(): Iterable<TextRow> {
    const { found, delimiter } = this;
    return {
      *[Symbol.iterator]() {
        for (const { line, text, quoted } of found)
          yield { line, cells: quoted ? splitQuoted(text, delimiter) : text.split(delimiter) };
      },
    };
  }

  /** Reads whole rows; gives where the first that is not whole begins. */
  private read(bytes: Buffer, isEnd: boolean): number {
    let at = 0;
    while (at < bytes.length && this.fault === null) {
      const first = bytes[at]!;
      if (first === NEWLINE || (first === RETURN && (isEnd || at + 1 < bytes.length))) {
        at += first === RETURN && bytes[at + 1] === NEWLINE ? 2 : 1;
        this.line++;
        continue;
      }
      const row = this.rowEnd(bytes, at, isEnd);
      if (row === null) return at;
      if (row.broken) this.unclosed.push(this.line);
      else this.keep(bytes.subarray(at, row.end), row.quoted);
      this.line += row.lines;
      at = row.next;
    }
    return at;
  }

  private rowEnd(bytes: Buffer, start: number, isEnd: boolean): RowEnd | null {
    let lines = 1;
    let quoted = false;
    let isCellStart = true;
    for (let at = start; ; at++) {
      if (at >= bytes.length) return isEnd ? { end: at, next: at, lines, broken: false, quoted } : null;
      const byte = bytes[at]!;
      if (byte === QUOTE && isCellStart) {
        quoted = true;
        const close = this.closeOf(bytes, at + 1, isEnd);
        if (close === null) return null;
        if (close.at < 0) return firstLine(bytes, start, isEnd);
        lines += close.lines;
        at = close.at;
        isCellStart = false;
      } else if (byte === this.separator) isCellStart = true;
      else if (byte === NEWLINE) return { end: at, next: at + 1, lines, broken: false, quoted };
      else if (byte === RETURN) {
        if (at + 1 >= bytes.length && !isEnd) return null;
        const next = bytes[at + 1] === NEWLINE ? at + 2 : at + 1;
        return { end: at, next, lines, broken: false, quoted };
      } else isCellStart = false;
    }
  }

  /** The closing quote of a cell, −1 where there is none; null where more bytes are needed to tell. */
  private closeOf(bytes: Buffer, from: number, isEnd: boolean): { at: number; lines: number } | null {
    let lines = 0;
    const last = Math.min(bytes.length, from + MOST_QUOTED_BYTES);
    for (let at = from; at < last; at++) {
      const byte = bytes[at]!;
      if (byte === NEWLINE || (byte === RETURN && bytes[at + 1] !== NEWLINE)) {
        if (++lines > MOST_QUOTED_LINES) return { at: -1, lines };
      } else if (byte === QUOTE) {
        if (bytes[at + 1] === QUOTE) {
          at++;
          continue;
        }
        let after = at + 1;
        while (bytes[after] === SPACE || (bytes[after] === TAB && this.separator !== TAB)) after++;
        if (after >= bytes.length) return isEnd ? { at, lines } : null;
        const next = bytes[after]!;
        if (next === this.separator || next === NEWLINE || next === RETURN) return { at, lines };
      }
    }
    return isEnd || bytes.length - from >= MOST_QUOTED_BYTES ? { at: -1, lines } : null;
  }

  private keep(bytes: Buffer, quoted: boolean): void {
    if (isBlank(bytes, this.separator)) return;
    this.size += bytes.length;
    if (!isUtf8(bytes)) {
      const reason = `${this.file} is not UTF-8 text (line ${this.line}); save it as UTF-8 and bring it in again.`;
      this.fault = { file: this.file, line: null, field: null, reason };
    } else if (this.size > MOST_TABLE_BYTES || this.found.length >= MOST_TABLE_ROWS)
      this.fail(
        `it holds more than ${MOST_TABLE_ROWS} rows or ${MOST_TABLE_BYTES >> 20} MiB, the most that a table of a day takes`,
      );
    else this.found.push({ line: this.line, text: bytes.toString('utf8'), quoted });
  }

  private fail(why: string): void {
    const reason = `${this.file} cannot be used: ${why}. Correct it and bring it in again.`;
    this.fault ??= { file: this.file, line: null, field: null, reason };
  }
}

/** The first line of a row as one that is put aside. */
function firstLine(bytes: Buffer, start: number, isEnd: boolean): RowEnd | null {
  let end = start;
  while (end < bytes.length && bytes[end] !== NEWLINE && bytes[end] !== RETURN) end++;
  if (end >= bytes.length && !isEnd) return null;
  const next = bytes[end] === RETURN && bytes[end + 1] === NEWLINE ? end + 2 : end + 1;
  return { end, next: Math.min(next, bytes.length), lines: 1, broken: true, quoted: true };
}

function isBlank(bytes: Buffer, separator: number): boolean {
  for (const byte of bytes) if (byte > SPACE && byte !== separator && byte !== QUOTE) return false;
  return true;
}
