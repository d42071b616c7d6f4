/** What changed between two releases, row by row and as a sentence. */
import { counted } from '../base/words.ts';
import { KEYS, type TableName } from './pool.ts';

/** Rows of one table of one day, cells by column name. */
export interface DiffTable {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

export interface CellChange {
  readonly column: string;
  /** As written; empty for none. */
  readonly before: string;
  readonly after: string;
}

export interface RowChange {
  readonly table: TableName;
  readonly day: string;
  /** What identifies the row besides its day: `T1`, `T1 left 3`. */
  readonly row: string;
  readonly what: 'added' | 'removed' | 'changed';
  /** The cells that differ; empty for rows that were added or removed. */
  readonly cells: readonly CellChange[];
}

/** Tables that are compared row by row; what was refused has no key. */
export const DIFF_TABLES = ['participants', 'calibrations', 'trials', 'strokes'] as const;

/**
 * The rows of a table of one day that differ, in the order of the later release, what was removed last. Columns that
 * only one of them has are not compared.
 */
export function diffRows(
  table: (typeof DIFF_TABLES)[number],
  day: string,
  before: DiffTable,
  after: DiffTable,
): readonly RowChange[] {
  const key = KEYS[table].filter((name) => name !== 'day');
  const [old, young] = [keyed(before, key), keyed(after, key)];
  const columns = after.columns.filter((name) => before.columns.includes(name));
  const changes: RowChange[] = [];
  for (const [row, cells] of young) {
    const was = old.get(row);
    if (was === undefined) {
      changes.push({ table, day, row, what: 'added', cells: [] });
      continue;
    }
    const differ = columns.flatMap((column) => {
      const [a, b] = [was[before.columns.indexOf(column)]!, cells[after.columns.indexOf(column)]!];
      return a === b ? [] : [{ column, before: a, after: b }];
    });
    if (differ.length > 0) changes.push({ table, day, row, what: 'changed', cells: differ });
  }
  for (const row of old.keys())
    if (!young.has(row)) changes.push({ table, day, row, what: 'removed', cells: [] });
  return changes;
}

function keyed({ columns, rows }: DiffTable, key: readonly string[]): ReadonlyMap<string, readonly string[]> {
  const places = key.map((name) => columns.indexOf(name));
  return new Map(rows.map((row) => [places.map((place) => row[place] ?? '').join(' '), row]));
}

/** How many rows of a table were added, removed and changed. */
export interface TableCount {
  readonly table: TableName;
  readonly added: number;
  readonly removed: number;
  readonly changed: number;
}

export interface DiffCounts {
  readonly from: string;
  readonly to: string;
  readonly daysAdded: readonly string[];
  readonly daysRemoved: readonly string[];
  /** Of the days that both have. */
  readonly tables: readonly TableCount[];
  /** Program versions, where they differ; null where they are the same. */
  readonly versions: { readonly from: string; readonly to: string } | null;
}

const NOUNS: Readonly<Record<(typeof DIFF_TABLES)[number], string>> = {
  participants: 'swimmer row',
  calibrations: 'calibration',
  trials: 'trial',
  strokes: 'stroke',
};

/** The difference as a sentence or two. */
export function diffSentence({ from, to, daysAdded, daysRemoved, tables, versions }: DiffCounts): string {
  const parts = [
    ...(daysAdded.length > 0 ? [`${counted(daysAdded.length, 'day')} added (${daysAdded.join(', ')})`] : []),
    ...(daysRemoved.length > 0
      ? [`${counted(daysRemoved.length, 'day')} left out (${daysRemoved.join(', ')})`]
      : []),
    ...tables.flatMap((table) => tableWords(table)),
  ];
  const what =
    parts.length === 0
      ? `Nothing differs between ${from} and ${to}.`
      : `From ${from} to ${to}: ${parts.join('; ')}.`;
  if (versions === null) return what;
  return `${what} ${from} was computed by version ${versions.from} of the program, ${to} by ${versions.to}.`;
}

function tableWords({ table, added, removed, changed }: TableCount): readonly string[] {
  const noun = NOUNS[table as keyof typeof NOUNS];
  const words = (
    [
      [added, 'added'],
      [removed, 'removed'],
      [changed, 'changed'],
    ] as const
  ).flatMap(([count, word]) => (count > 0 ? [`${counted(count, noun)} ${word}`] : []));
  return words;
}
