/**
 * Tables as a lab writes them: cells of text in, typed rows and refusals out.
 * Contract: formats.md section 1 (column names, permitted values); RFC 4180 for what a row is.
 */
import { unguardText } from './csv.ts';
import { type Outcome, done, failed, type Refusal } from './refusal.ts';
import { FollowingRows, RefusedRuns } from './refusedruns.ts';
import { endsSlice, type Slices } from './slices.ts';

/** One data row of a CSV file as text, with the physical line on which it starts. */
export interface TextRow {
  readonly line: number;
  readonly cells: readonly string[];
}

/** A CSV file as text: the header and the rows below it. */
export interface TextTable {
  readonly file: string;
  readonly header: readonly string[];
  /** Rows that are not blank; going through them again reads them again. */
  readonly rows: Iterable<TextRow>;
  /** Lines on which a quote is opened and never closed. */
  readonly unclosed: readonly number[];
  /** True where a number may be written with a decimal comma: the separator is not a comma. */
  readonly decimalComma: boolean;
}

/** Reads one trimmed cell; the failure is the end of a sentence that begins with the column's name. */
export type CellReader<T> = (text: string, decimalComma: boolean) => Outcome<T, string>;

const CODE = /^[A-Za-z0-9_.-]{1,64}$/;

const NUMBER = /^[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?$/;

/** True for a code of formats.md: 1 to 64 characters of `A–Z a–z 0–9 _ . -`. */
export function isCode(text: string): boolean {
  return CODE.test(text);
}

/** True for a code that may also stand in an address and name a folder: one of dots alone would lead elsewhere. */
export function isPlainCode(text: string): boolean {
  return isCode(text) && !/^\.+$/.test(text);
}

/**
 * Reads a number written with a decimal point or a decimal comma and no grouping.
 * Returns null where the text is no finite number. Unit: that of the text.
 */
export function parseNumber(text: string): number | null {
  if (!NUMBER.test(text)) return null;
  const value = Number(text.replace(',', '.'));
  return Number.isFinite(value) ? value : null;
}

/** True for a cell that stands for no value: empty, `NaN` or `-`. */
export function isMissing(text: string): boolean {
  return text === '' || text === '-' || text.toLowerCase() === 'nan';
}

/** Reads a code of formats.md. */
export const code: CellReader<string> = (cell) => {
  const text = unguardText(cell);
  if (isCode(text)) return done(text);
  return failed(
    cell === ''
      ? 'is empty; it takes a code'
      : `is "${cell}"; a code has 1 to 64 of the characters A–Z a–z 0–9 _ . -`,
  );
};

/** Reads any text as it stands. */
export const text: CellReader<string> = (cell) => done(unguardText(cell));

/** Reads a path inside the day folder; blank is refused, where it leads is not looked at. */
export const path: CellReader<string> = (cell) =>
  cell === '' ? failed('is empty; it takes a path inside the day folder') : done(unguardText(cell));

/** A reader of numbers within closed or open bounds, in the unit of the column; blank is refused. */
export function number(
  rule: { above?: number; atLeast?: number; atMost?: number; whole?: boolean } = {},
): CellReader<number> {
  return (cell, decimalComma) => {
    if (isMissing(cell)) return failed('is empty; it takes a number');
    if (!decimalComma && cell.includes(','))
      return failed(`is "${cell}"; where the separator is a comma, a number takes a decimal point`);
    const value = parseNumber(cell);
    if (value === null) return failed(`is "${cell}"; it takes a number such as 12.5`);
    if (rule.whole === true && !Number.isInteger(value)) return failed(`is ${cell}; it takes a whole number`);
    if (rule.above !== undefined && !(value > rule.above))
      return failed(`is ${cell}; it must be above ${rule.above}`);
    if (rule.atLeast !== undefined && !(value >= rule.atLeast))
      return failed(`is ${cell}; it must be at least ${rule.atLeast}`);
    if (rule.atMost !== undefined && !(value <= rule.atMost))
      return failed(`is ${cell}; it must be at most ${rule.atMost}`);
    return done(value);
  };
}

/** A reader of one of some words, spelt exactly so. */
export function oneOf<const T extends string>(...values: readonly T[]): CellReader<T> {
  return (cell) => {
    const found = values.find((value) => value === cell);
    if (found !== undefined) return done(found);
    return failed(`is "${cell}"; it takes one of ${values.join(', ')}`);
  };
}

/** A cell that may be blank (or `NaN`, `-` for numbers); blank gives null. */
export function optional<T>(reader: CellReader<T>): CellReader<T | null> {
  return (cell, decimalComma) => (cell === '' ? done(null) : reader(cell, decimalComma));
}

/** A reader of numbers that may be missing, in the unit of the column: `NaN` and `-` are blank too. */
export function optionalNumber(rule: Parameters<typeof number>[0] = {}): CellReader<number | null> {
  const reader = number(rule);
  return (cell, decimalComma) => (isMissing(cell) ? done(null) : reader(cell, decimalComma));
}

/** A cell where blank means the given value. */
export function withDefault<T>(reader: CellReader<T>, value: T): CellReader<T> {
  return (cell, decimalComma) => (cell === '' ? done(value) : reader(cell, decimalComma));
}

type Columns = Record<string, { readonly read: CellReader<unknown>; readonly required: boolean }>;

type RowOf<C extends Columns> = {
  readonly [K in keyof C]: C[K]['read'] extends CellReader<infer T> ? T : never;
};

export interface TableSpec<C extends Columns> {
  readonly columns: C;
}

/** A column of a table: how its cells are read, and whether the table must have it. */
export function column<T>(read: CellReader<T>, required = true): { read: CellReader<T>; required: boolean } {
  return { read, required };
}

/** A typed row and the line it came from. */
export interface ReadRow<T> {
  readonly line: number;
  readonly value: T;
}

export interface ReadTable<T> {
  readonly rows: readonly ReadRow<T>[];
  readonly refused: readonly Refusal[];
}

/** Text of one named text column of a row, trimmed; empty where the column or the cell is absent. */
export function cellOf(table: TextTable, row: TextRow, name: string): string {
  return unguardText(cellAt(row, table.header.indexOf(name)));
}

function cellAt(row: TextRow, index: number): string {
  return index < 0 ? '' : (row.cells[index] ?? '').trim();
}

/**
 * Reads every row of a table by its columns. A row that breaks a rule is refused alone; a file without a
 * required column is refused whole. `skip` leaves a row out without a word (swimmers without consent).
 */
export function* readTable<C extends Columns>(
  table: TextTable,
  columns: C,
  skip: (row: TextRow) => boolean = () => false,
): Slices<ReadTable<RowOf<C>>> {
  const missing = Object.keys(columns).filter(
    (name) => columns[name]?.required === true && !table.header.includes(name),
  );
  if (missing.length > 0) {
    const reason = `${table.file} has no column ${missing.join(', ')}; add it to the header row and open the day again.`;
    return { rows: [], refused: [{ file: table.file, line: null, field: missing[0] ?? null, reason }] };
  }
  const rows: ReadRow<RowOf<C>>[] = [];
  const refused = new RefusedRuns(table.file);
  const places = Object.entries(columns).map(([name, { read: cell }]) => ({
    name,
    at: table.header.indexOf(name),
    read: repeating(cell, table.decimalComma),
  }));
  let seen = 0;
  for (const row of table.rows) {
    if (endsSlice(seen++)) yield;
    if (skip(row)) continue;
    const { line, cells } = row;
    if (overflows(cells, table.header.length)) {
      const says = `The row has ${cells.length} cells and the header ${table.header.length}; quote a cell that holds the separator.`;
      refused.add(line, null, 'cells', () => says);
      continue;
    }
    const value: Record<string, unknown> = {};
    let whole = true;
    for (const { name, at, read } of places) {
      const outcome = read((at < 0 ? undefined : cells[at])?.trim() ?? '');
      if (!outcome.ok) {
        const { error } = outcome;
        refused.add(line, name, ruleOf(error), () => `${name} ${error}.`);
        whole = false;
        break;
      }
      value[name] = outcome.value;
    }
    if (whole) rows.push({ line, value: value as RowOf<C> });
  }
  return { rows, refused: [...unclosedQuotes(table), ...refused.list()] };
}

/** A reader of one column's cells, most of which say what the one above them said. */
function repeating<T>(cell: CellReader<T>, decimalComma: boolean): (text: string) => Outcome<T, string> {
  let last = '';
  let outcome = cell(last, decimalComma);
  return (text) => {
    if (text !== last) {
      last = text;
      outcome = cell(text, decimalComma);
    }
    return outcome;
  };
}

function overflows(cells: readonly string[], width: number): boolean {
  for (let at = width; at < cells.length; at++) if (cells[at]!.trim() !== '') return true;
  return false;
}

/** What a reader's failure says apart from the value: the rule that it broke, behind the last semicolon. */
function ruleOf(error: string): string {
  return error.slice(error.lastIndexOf(';'));
}

function unclosedQuotes({ file, unclosed }: TextTable): readonly Refusal[] {
  const refused = new RefusedRuns(file);
  const says = () => 'A quote is opened and not closed; close it or take it out.';
  for (const line of unclosed) refused.add(line, null, 'quote', says);
  return refused.list();
}

/** Why a row is refused: for a fault of its own, or only because what it belongs to was. */
export type RowFault =
  | { readonly kind: 'own'; readonly rule: string; readonly says: string }
  | { readonly kind: 'follows'; readonly because: string };

/** A fault of a row's own. @param rule what neighbouring rows share to be told together; never the wrong value */
export function ownFault(rule: string, says: string): RowFault {
  return { kind: 'own', rule, says };
}

/** Refuses the rows for which `fault` gives a reason. */
export function* refuseWhere<T>(
  table: ReadTable<T>,
  file: string,
  field: string | null,
  fault: (value: T, line: number) => RowFault | null,
): Slices<ReadTable<T>> {
  const own = new RefusedRuns(file);
  const following = new FollowingRows(file);
  const rows: ReadRow<T>[] = [];
  for (const [at, row] of table.rows.entries()) {
    if (endsSlice(at)) yield;
    const found = fault(row.value, row.line);
    if (found === null) rows.push(row);
    else if (found.kind === 'follows') following.add(row.line, found.because);
    else own.add(row.line, field, found.rule, () => found.says);
  }
  return { rows, refused: [...table.refused, ...own.list(), ...following.list()] };
}
