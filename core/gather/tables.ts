/**
 * A lab's own table as a table of the day: columns and values by the map, rows where they were. What a cell then says is
 * read as in any table of a day.
 */
import { addAll } from '../base/extent.ts';
import { quoted } from '../base/plaintext.ts';
import type { Refusal } from '../base/refusal.ts';
import { RefusedRuns } from '../base/refusedruns.ts';
import { cellOf, isMissing, type TextRow, type TextTable } from '../base/table.ts';
import { readBirth } from '../lists/birth.ts';
import { type MappedTable, type TableRule } from './map.ts';
import { foldName } from './pattern.ts';

/** A table in the day's words. */
export interface MappedRows {
  /** Every row, also those that hold more cells than the header. */
  readonly all: TextTable;
  /** The rows whose cells stand under their columns. */
  readonly sound: TextTable;
  readonly refused: readonly Refusal[];
  /** True where the column that tells whose a row is is not there. */
  readonly isLost: boolean;
}

/** The columns without which no row of a table means anything. */
const KEYS: Readonly<Partial<Record<MappedTable, readonly string[]>>> = {
  roster: ['participant'],
  trials: ['participant', 'trial'],
};

/**
 * Puts a table into the day's columns.
 * @param date the day's date, such as 2026-03-14; bounds a birth year
 */
export function mapTable(name: MappedTable, table: TextTable, rule: TableRule, date: string): MappedRows {
  const places = new Map<string, number>();
  const refused: Refusal[] = [];
  for (const [column, source] of Object.entries(rule.columns)) {
    const at = columnAt(table.header, source);
    if (at >= 0) places.set(column, at);
    else refused.push(lacks(table, column, source));
  }
  const header = [...new Set([...places.keys(), ...Object.keys(rule.fixed)])];
  const cellsOf = (cells: readonly string[]) =>
    header.map((column) => {
      const at = places.get(column);
      if (at === undefined) return rule.fixed[column]!;
      const cell = worded((cells[at] ?? '').trim(), rule.values[column]);
      return column === 'birth_year' ? birthYear(cell, date) : cell;
    });
  const rows = [...table.rows].map(({ line, cells }) => ({
    row: { line, cells: cellsOf(cells) },
    overflows: cells.slice(table.header.length).some((cell) => cell.trim() !== ''),
    count: cells.length,
  }));
  const overfull = new RefusedRuns(table.file);
  for (const { row, overflows, count } of rows)
    if (overflows)
      overfull.add(
        row.line,
        null,
        'cells',
        () =>
          `The row has ${count} cells and the header ${table.header.length}; quote a cell that holds the separator.`,
      );
  addAll(refused, overfull.list());
  const made = { ...table, header };
  const keys = KEYS[name] ?? [];
  return {
    all: { ...made, rows: rows.map(({ row }) => row) },
    sound: { ...made, rows: rows.filter(({ overflows }) => !overflows).map(({ row }) => row) },
    refused,
    isLost: keys.length > 0 && !keys.some((key) => header.includes(key)),
  };
}

/** Where a column stands: as written, else the only one of that name without regard to case; −1 where there is none. */
function columnAt(header: readonly string[], source: string): number {
  const exact = header.indexOf(source.trim());
  if (exact >= 0) return exact;
  const alike = header.flatMap((name, at) => (foldName(name) === foldName(source.trim()) ? [at] : []));
  return alike.length === 1 ? alike[0]! : -1;
}

function lacks(table: TextTable, column: string, source: string): Refusal {
  const there = table.header.map(quoted).join(', ');
  const reason = `${table.file} has no column ${quoted(source)}, which the map names for ${column}; its columns are ${there}. Correct the map.`;
  return { file: table.file, line: null, field: column, reason };
}

/** A cell in the day's words: the map's word for it, spelt so or without regard to case; else as it stands. */
function worded(cell: string, values: Readonly<Record<string, string>> | undefined): string {
  if (values === undefined) return cell;
  if (Object.hasOwn(values, cell)) return values[cell]!;
  const alike = Object.keys(values).find((value) => foldName(value) === foldName(cell));
  return alike === undefined ? cell : values[alike]!;
}

/** The year of a date of birth; a cell that holds none stays as it is, and is refused as a year. */
function birthYear(cell: string, date: string): string {
  if (isMissing(cell)) return cell;
  const birth = readBirth({ column: 'birth_year', text: cell, unit: null }, date, () => undefined);
  return birth === null ? cell : String(birth.year);
}

/** A table with one column's cells changed; a column that is not there is added. */
export function withCells(
  table: TextTable,
  column: string,
  change: (cell: string, row: TextRow) => string,
): TextTable {
  const at = table.header.indexOf(column);
  const header = at < 0 ? [...table.header, column] : table.header;
  const place = at < 0 ? table.header.length : at;
  const rows = [...table.rows].map((row) => ({
    line: row.line,
    cells: row.cells.toSpliced(place, 1, change(cellOf(table, row, column), row)),
  }));
  return { ...table, header, rows };
}

/** Gives every code the spelling of its first use: codes that differ in case alone are one. */
export class Spelling {
  private readonly byFolded = new Map<string, string>();

  /** The spelling of a code; its own where it was not met before, and kept. */
  keep(code: string): string {
    const folded = foldName(code);
    const known = this.byFolded.get(folded);
    if (known !== undefined) return known;
    this.byFolded.set(folded, code);
    return code;
  }

  /** The spelling of a code; null where it was not met. */
  find(code: string): string | null {
    return this.byFolded.get(foldName(code)) ?? null;
  }
}
