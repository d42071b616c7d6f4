/**
 * What of a live source's lines goes into a trace file: one header, then rows as they came. A line that is no row, and a
 * first line of which only the end came, are left out and counted. Contract: formats.md section 5.
 */
import { isMissing, parseNumber } from '../base/table.ts';

const SEPARATORS = [';', '\t', ','] as const;
type Separator = (typeof SEPARATORS)[number];

/** Names of the time's column, small letters, as recorders write them: common practice, no source. */
const TIME = /^"?\s*(?:time|t|zeit|temps|tiempo|tempo|timestamp|millis|micros)(?:$|[\s_([/"])/i;

/** A row as it came. */
export interface LiveRow {
  /** The line with its end. */
  readonly line: string;
  /** The cells as numbers; NaN for a missing sample. */
  readonly values: readonly number[];
}

/** What a line, or the end of waiting, adds to the recording. */
export interface Sorted {
  /** Text for the file: the header before the first row, and rows. */
  readonly text: string;
  readonly rows: readonly LiveRow[];
}

const NOTHING: Sorted = { text: '', rows: [] };

/** Rows that are held back until it is seen whether the first one came whole. */
const HELD = 3;
/** A first step that differs by more than so many of the second is none of the recorder's. */
const ODD_STEP = 1.5;

export interface SorterOrder {
  /** The columns' names in place of a header; null where the source sends one. */
  readonly columns: readonly string[] | null;
  /** True where the first line may have begun before anybody listened. */
  readonly mayBeCut: boolean;
}

export class RowSorter {
  /** How many lines were left out. */
  leftOut = 0;
  /** True from the first row on, also while it is held back. */
  hasRow = false;
  private names: readonly string[] | null;
  private separator: Separator | null = null;
  private headerText: string | null = null;
  private isFirstLine = true;
  private held: LiveRow[] | null;

  constructor({ columns, mayBeCut }: SorterOrder) {
    this.names = columns;
    this.held = mayBeCut ? [] : null;
  }

  /** The names of the columns; null until they are known. */
  get columns(): readonly string[] | null {
    return this.names;
  }

  /** Which column is the time; −1 where none is called so. Has no unit. */
  get timeAt(): number {
    return this.names?.findIndex((name) => TIME.test(name)) ?? -1;
  }

  /** Takes a line with its end; null where it is a row and no header tells its columns. */
  take(line: string): Sorted | null {
    const isFirst = this.isFirstLine;
    const text = (isFirst ? line.replace(/^\u00ef\u00bb\u00bf/, '') : line).trim();
    if (text === '' || (isFirst && text.startsWith('#'))) {
      this.leftOut++;
      return NOTHING;
    }
    this.isFirstLine = false;
    if (isFirst && !hasNumber(text)) return this.takeHeader(line, text);
    if (this.names === null) return null;
    const values = this.valuesOf(text);
    if (values === null) {
      this.leftOut++;
      return NOTHING;
    }
    this.hasRow = true;
    const row = { line: isFirst ? line.replace(/^\u00ef\u00bb\u00bf/, '') : line, values };
    if (this.held === null) return this.give([row]);
    this.held.push(row);
    return this.held.length < HELD ? NOTHING : this.release();
  }

  /** What is still held back: nothing more is waited for. */
  release(): Sorted {
    const { held } = this;
    if (held === null) return NOTHING;
    if (held.length > 0) this.held = null;
    if (!this.isCut(held)) return this.give(held);
    this.leftOut++;
    return this.give(held.slice(1));
  }

  private takeHeader(line: string, text: string): Sorted {
    if (this.names !== null) return NOTHING;
    const separator = SEPARATORS.reduce((best, one) => (count(text, one) > count(text, best) ? one : best));
    this.names = cellsOf(text, separator);
    this.separator = separator;
    this.headerText = line;
    return NOTHING;
  }

  private give(rows: readonly LiveRow[]): Sorted {
    if (rows.length === 0) return NOTHING;
    const text = rows.map(({ line }) => line).join('');
    if (this.headerText === null) {
      this.headerText = '';
      return { text: this.namesLine(rows[0]!.line) + text, rows };
    }
    const header = this.headerText;
    this.headerText = '';
    return { text: header + text, rows };
  }

  /** The given names as a header in the rows' own way. */
  private namesLine(like: string): string {
    return this.names!.join(this.separator ?? ',') + (like.endsWith('\r\n') ? '\r\n' : '\n');
  }

  /** The numbers of a row; null where it is none. */
  private valuesOf(text: string): readonly number[] | null {
    const width = this.names!.length;
    for (const separator of this.separator === null ? SEPARATORS : [this.separator]) {
      const cells = cellsOf(text, separator);
      while (cells.length > width && cells.at(-1) === '') cells.pop();
      if (cells.length !== width) continue;
      const values = cells.map((cell) => numberOf(cell, separator));
      if (!values.every((value) => value !== null) || values.every(Number.isNaN)) continue;
      if (this.timeAt >= 0 && Number.isNaN(values[this.timeAt]!)) continue;
      this.separator = separator;
      return values;
    }
    return null;
  }

  /**
   * True where only the end of the first line came: its first cell is shorter than the next row's, and its step to the
   * next row is none of the recorder's.
   */
  private isCut(held: readonly LiveRow[]): boolean {
    const [first, second, third] = held;
    if (first === undefined || second === undefined) return false;
    const length = (row: LiveRow) => cellsOf(row.line.trim(), this.separator!)[0]!.length;
    if (length(first) >= length(second)) return false;
    const at = this.timeAt < 0 ? 0 : this.timeAt;
    if (at !== 0) return false;
    const step = second.values[0]! - first.values[0]!;
    if (third === undefined) return step <= 0;
    const usual = third.values[0]! - second.values[0]!;
    return step <= 0 || (usual > 0 && step > ODD_STEP * usual);
  }
}

function count(text: string, separator: Separator): number {
  return text.split(separator).length;
}

function cellsOf(text: string, separator: Separator): string[] {
  return text.split(separator).map((cell) =>
    cell
      .trim()
      .replace(/^"(.*)"$/, '$1')
      .trim(),
  );
}

/** A cell as a number, NaN where it is missing; null where it is neither. */
function numberOf(cell: string, separator: Separator): number | null {
  if (isMissing(cell)) return NaN;
  return separator === ',' && cell.includes(',') ? null : parseNumber(cell);
}

function hasNumber(text: string): boolean {
  return SEPARATORS.some((separator) => cellsOf(text, separator).some((cell) => parseNumber(cell) !== null));
}
