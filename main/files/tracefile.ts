/**
 * Reads a trace file in a stream into typed arrays, by the day's column map. Every row that cannot be used is refused
 * alone, with its line. Contract: formats.md section 1, traces.
 */
import { createHash } from 'node:crypto';
import { readSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { isMainThread } from 'node:worker_threads';
import type { Hand } from '../../core/base/hand.ts';
import type { TraceColumns } from '../../core/day/day.ts';
import { done, failed, type Outcome, type Refusal } from '../../core/base/refusal.ts';
import { RefusedRuns } from '../../core/base/refusedruns.ts';
import { quoted } from '../../core/base/plaintext.ts';
import { isMissing, parseNumber } from '../../core/base/table.ts';
import type { TraceRows } from '../../core/force/trace.ts';
import { containerReader, readContainerTrace } from './container.ts';
import { findDelimiter, isPreamble, splitLine, type Delimiter } from './dialect.ts';
import type { TraceFile } from './signals.ts';
import { unreadable } from './texttable.ts';
import { UNREADABLE, readCell } from './numbers.ts';
import { LEFT, PASSED, RIGHT, RowLists, TIME, type PlainLayout } from './plainrows.ts';

const SECONDS = { s: 1, ms: 1e3, us: 1e6 } as const;
const CHUNK = 1 << 18;
/** Longer than any row of samples: what has no line end by then is no text. */
const LONGEST_LINE = 1 << 20;
/** Samples that a trace may hold: over an hour and twenty minutes at 1 kHz. All of it is in memory at once. */
export const MOST_SAMPLES = 5_000_000;
/** Columns that a header may have. */
const MOST_COLUMNS = 1000;
const [NEWLINE, RETURN, QUOTE] = [10, 13, 34];

/** Where the values stand in a row of this file. */
interface Layout {
  readonly delimiter: Delimiter;
  readonly width: number;
  /** Column of the time; −1 where the rate is known instead. */
  readonly time: number;
  /** Time cells are divided by this to give seconds. */
  readonly perSecond: number;
  readonly left: number;
  readonly right: number;
  readonly plain: PlainLayout;
}

/** Memory of traces that were read, for those to come. */
const spare: RowLists[] = [];
/** So much is kept: traces are read a few at a time, and one of an hour's samples is rare. */
const [MOST_SPARE, MOST_SPARE_SAMPLES] = [4, 1 << 18];

/**
 * Reads a trace.
 * @param file its path inside the day, for sentences
 * Fails where the file as a whole cannot be used; a hand whose column is missing only loses that hand.
 */
export async function readTraceFile(
  absolute: string,
  file: string,
  columns: TraceColumns,
): Promise<Outcome<TraceFile, Refusal>> {
  const container = containerReader(file);
  if (container !== null) return readContainerTrace(absolute, file, columns, container, MOST_SAMPLES);
  const reader = new RowReader(file, columns);
  const hash = createHash('sha256');
  let handle;
  try {
    handle = await open(absolute, 'r');
    let chunk = Buffer.allocUnsafe(CHUNK);
    // What is left of a line stands at the beginning, and the file's next bytes behind it.
    for (let held = 0; ;) {
      if (chunk.length - held < CHUNK / 2) chunk = Buffer.concat([chunk], 2 * chunk.length);
      const room = chunk.length - held;
      // A thread that only reads has nothing to do while it waits.
      const bytesRead = isMainThread
        ? (await handle.read(chunk, held, room)).bytesRead
        : readSync(handle.fd, chunk, held, room, null);
      if (bytesRead === 0) {
        reader.end(chunk.subarray(0, held));
        break;
      }
      hash.update(chunk.subarray(held, held + bytesRead));
      const end = held + bytesRead;
      const next = reader.take(chunk.subarray(0, end));
      if (reader.fault !== null) return failed(reader.fault);
      chunk.copy(chunk, 0, next, end);
      held = end - next;
    }
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === undefined) throw error;
    return failed(unreadable(file, error));
  } finally {
    await handle?.close();
  }
  if (reader.fault !== null) return failed(reader.fault);
  return done({
    rows: reader.rows(),
    refused: reader.refused(),
    sha256: hash.digest('hex'),
    letGo: () => reader.letGo(),
  });
}

/** Takes the file's bytes as they come. */
class RowReader {
  private readonly bad: RefusedRuns;
  private readonly headerFaults: Refusal[] = [];
  fault: Refusal | null = null;
  private readonly file: string;
  private readonly columns: TraceColumns;
  private line = 0;
  private layout: Layout | null = null;
  private unitsRowPossible = true;
  private readonly lists = spare.pop() ?? new RowLists();
  /** Blank lines since the last row: those at the end are no samples. */
  private blanks = 0;

  constructor(file: string, columns: TraceColumns) {
    this.file = file;
    this.bad = new RefusedRuns(file);
    this.columns = columns;
    if (columns.time === null)
      this.fail('trace_columns.time', 'day.json does not say where the time of a sample stands');
    else if (columns.left === null && columns.right === null)
      this.fail('trace_columns', 'day.json names no column for either hand');
  }

  /** Reads the lines that are whole; gives where the first begins that is not. */
  take(bytes: Uint8Array): number {
    const whole = bytes.lastIndexOf(NEWLINE) + 1;
    let start = this.passBlanks(bytes, 0);
    while (start < whole) {
      start = this.readPlain(bytes, start, whole);
      if (start === whole) break;
      const end = bytes.indexOf(NEWLINE, start);
      this.readLine(bytes, start, end);
      start = this.passBlanks(bytes, end + 1);
    }
    if (bytes.length - start > LONGEST_LINE) this.fail(null, 'it holds no lines of text');
    return start;
  }

  private readPlain(bytes: Uint8Array, start: number, end: number): number {
    if (this.layout === null || this.unitsRowPossible || this.blanks > 0 || this.fault !== null) return start;
    const before = this.lists.length;
    const next = this.lists.readPlain(bytes, start, end, this.layout.plain, this.line + 1, MOST_SAMPLES);
    this.line += this.lists.length - before;
    return next;
  }

  /** Passes over lines of nothing at all, of which a damaged file may have hundreds of millions. */
  private passBlanks(bytes: Uint8Array, start: number): number {
    let at = start;
    while (bytes[at] === NEWLINE) at++;
    this.line += at - start;
    if (this.layout !== null && this.layout.time < 0) this.blanks += at - start;
    return at;
  }

  /** @param rest the last line, where it has no end */
  end(rest: Uint8Array): void {
    if (rest.length > 0) this.readLine(rest, 0, rest.length);
    if (this.layout === null && this.fault === null) this.fail(null, 'it has no header row');
  }

  refused(): readonly Refusal[] {
    return [...this.headerFaults, ...this.bad.list()];
  }

  rows(): TraceRows {
    const { time } = this.columns;
    const byRate = time?.kind === 'rate';
    const { times, lines, length, ...hands } = this.lists;
    const hand = (which: Hand) => (this.layout![which] < 0 ? null : hands[which].subarray(0, length));
    return {
      timeS: byRate ? null : times.subarray(0, length),
      rateHz: byRate ? time.rateHz : null,
      lines: lines.subarray(0, length),
      left: hand('left'),
      right: hand('right'),
    };
  }

  /** Gives the memory of the rows to the next trace. */
  letGo(): void {
    if (spare.length >= MOST_SPARE || this.lists.lines.length > MOST_SPARE_SAMPLES) return;
    this.lists.length = 0;
    spare.push(this.lists);
  }

  private fail(field: string | null, why: string): void {
    this.fault ??= {
      file: this.file,
      line: null,
      field,
      reason: `${this.file} cannot be used: ${why}. Correct it and bring it in again.`,
    };
  }

  private readLine(bytes: Uint8Array, start: number, lineEnd: number): void {
    this.line++;
    const end = lineEnd > start && bytes[lineEnd - 1] === RETURN ? lineEnd - 1 : lineEnd;
    if (this.fault !== null) return;
    if (this.layout === null) this.readHeader(bytes, start, end);
    else if (this.unitsRowPossible && this.isUnitsRow(bytes, start, end, this.layout))
      this.unitsRowPossible = false;
    else this.readRow(bytes, start, end, this.layout);
  }

  private readHeader(bytes: Uint8Array, start: number, end: number): void {
    const text = new TextDecoder('utf-8').decode(bytes.subarray(start, end));
    if (isPreamble(text)) return;
    const { time, left, right } = this.columns;
    const named = time?.kind === 'column' ? [time.column] : [];
    const expected = [...named, ...[left, right].flatMap((hand) => hand?.column ?? [])];
    const delimiter = findDelimiter(text, expected);
    const header = splitLine(text, delimiter);
    if (header.length > MOST_COLUMNS) {
      this.fail(null, `its header has ${header.length} columns, and at most ${MOST_COLUMNS} are read`);
      return;
    }
    const missing = named.filter((name) => !header.includes(name));
    if (missing.length > 0) {
      this.fail(missing[0]!, `it has no column "${missing[0]}" for the time`);
      return;
    }
    const place = (hand: Hand) => {
      const name = this.columns[hand]?.column;
      if (name === undefined) return -1;
      const at = header.indexOf(name);
      if (at < 0)
        this.headerFaults.push({
          file: this.file,
          line: this.line,
          field: name,
          reason: `The header has no column "${name}" for the ${hand} hand; that hand has no force.`,
        });
      return at;
    };
    const places = { left: place('left'), right: place('right') };
    if (places.left < 0 && places.right < 0) {
      this.fail(expected.at(-1) ?? null, 'it has neither hand’s column');
      return;
    }
    const timeAt = time?.kind === 'column' ? header.indexOf(time.column) : -1;
    const perSecond = time?.kind === 'column' ? SECONDS[time.unit] : 1;
    const holds = new Uint8Array(Math.max(timeAt, places.left, places.right) + 1).fill(PASSED);
    if (places.right >= 0) holds[places.right] = RIGHT;
    if (places.left >= 0) holds[places.left] = LEFT;
    if (timeAt >= 0) holds[timeAt] = TIME;
    const plain = { separator: delimiter.charCodeAt(0), width: header.length, holds, perSecond };
    this.layout = { delimiter, width: header.length, time: timeAt, perSecond, ...places, plain };
  }

  /** A units row stands right below the header and holds words where the numbers will be. */
  private isUnitsRow(bytes: Uint8Array, start: number, end: number, layout: Layout): boolean {
    const text = new TextDecoder().decode(bytes.subarray(start, end));
    if (text.trim() === '') return false;
    this.unitsRowPossible = false;
    const cells = splitLine(text, layout.delimiter);
    const used = [layout.time, layout.left, layout.right]
      .filter((at) => at >= 0)
      .map((at) => cells[at] ?? '');
    return used.every((cell) => parseNumber(cell) === null) && used.some((cell) => !isMissing(cell));
  }

  private readRow(bytes: Uint8Array, start: number, end: number, layout: Layout): void {
    let quote = start;
    while (quote < end && bytes[quote] !== QUOTE) quote++;
    if (quote < end) {
      const cells = splitLine(new TextDecoder().decode(bytes.subarray(start, end)), layout.delimiter);
      // A separator inside quotes is part of the cell; written again without quotes, the cell reads as one.
      const plain = cells.map((cell) =>
        cell.replaceAll(layout.delimiter, layout.delimiter === ',' ? '?' : ' '),
      );
      const again = new TextEncoder().encode(plain.join(layout.delimiter));
      this.readCells(again, 0, again.length, layout);
    } else this.readCells(bytes, start, end, layout);
  }

  private readCells(bytes: Uint8Array, start: number, end: number, layout: Layout): void {
    const separator = layout.delimiter.charCodeAt(0);
    let [time, left, right] = [NaN, NaN, NaN];
    let blank = true;
    let column = 0;
    let overflow = false;
    for (let at = start; at <= end; column++) {
      let stop = at;
      while (stop < end && bytes[stop] !== separator) {
        if (bytes[stop]! > 32) {
          blank = false;
          if (column >= layout.width) overflow = true;
        }
        stop++;
      }
      if (column === layout.time) time = readCell(bytes, at, stop);
      else if (column === layout.left) left = readCell(bytes, at, stop);
      else if (column === layout.right) right = readCell(bytes, at, stop);
      at = stop + 1;
    }
    if (blank) {
      // A line of separators alone is a row without samples; one of nothing at the file's end is no row.
      if (layout.time < 0) this.blankRow(column > 1);
      return;
    }
    const needed = Math.max(layout.time, layout.left, layout.right);
    const cells = overflow || column <= needed;
    const bad = cells ? -1 : this.unreadable(layout, time, left, right);
    if (!cells && bad === null) {
      this.push(time / layout.perSecond, left, right);
      return;
    }
    if (cells)
      this.bad.add(
        this.line,
        null,
        'cells',
        () => `The row has ${column} cells and the header ${layout.width}; this sample was left out.`,
      );
    else if (bad === layout.time && Number.isNaN(time))
      this.bad.add(this.line, null, 'no time', () => 'The row has no time; this sample was left out.');
    else {
      const what =
        bad === layout.time ? 'time' : bad === layout.left ? 'left hand’s value' : 'right hand’s value';
      this.bad.add(this.line, null, what, () => {
        const value = quoted(cellText(bytes, start, end, layout.delimiter, bad!));
        return `The ${what} is ${value}, which is not a number; this sample was left out.`;
      });
    }
    if (layout.time < 0) this.push(NaN, NaN, NaN);
  }

  /** The column of the cell that cannot be read; null where every one can. */
  private unreadable(layout: Layout, time: number, left: number, right: number): number | null {
    if (layout.time >= 0 && (time === UNREADABLE || Number.isNaN(time))) return layout.time;
    if (left === UNREADABLE) return layout.left;
    return right === UNREADABLE ? layout.right : null;
  }

  /** A row without samples keeps its place where the rate is known; one at the file's end is none. */
  private blankRow(hasCells: boolean): void {
    this.blanks++;
    if (hasCells) this.placeBlanks();
  }

  private placeBlanks(): void {
    const blanks = this.blanks;
    this.blanks = 0;
    if (this.lists.length + blanks > MOST_SAMPLES) this.tooLong();
    else for (let k = 0; k < blanks; k++) this.append(NaN, NaN, NaN);
  }

  private push(timeS: number, left: number, right: number): void {
    if (this.blanks > 0) this.placeBlanks();
    if (this.lists.length >= MOST_SAMPLES) this.tooLong();
    else this.append(timeS, left, right);
  }

  private append(timeS: number, left: number, right: number): void {
    this.lists.push(timeS, left, right, this.line);
  }

  private tooLong(): void {
    this.fail(
      null,
      `it holds more than ${MOST_SAMPLES} samples, the most that a trial takes; cut it to the trial`,
    );
  }
}

/** The text of one cell of a row without quotes. */
function cellText(bytes: Uint8Array, start: number, end: number, delimiter: string, column: number): string {
  const text = new TextDecoder().decode(bytes.subarray(start, end));
  return text.split(delimiter)[column]?.trim() ?? '';
}
