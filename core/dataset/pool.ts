/**
 * Datasets of several days as one: the same tables, each with a first column `day`. Contract: formats.md section 4, pool.
 * Cells are carried as they are written; nothing is computed again.
 */
import { addAll } from '../base/extent.ts';
import { isCode } from '../base/table.ts';
import { DATASET_FIELDS, type DatasetTable } from './dataset.ts';
import type { Field } from './field.ts';

export type TableName = DatasetTable['name'];

export const TABLE_NAMES = Object.keys(DATASET_FIELDS) as readonly TableName[];

export interface CellTable {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** A dataset, or a pool of several. */
export interface PoolInput {
  /** The folder's own name, for sentences. */
  readonly name: string;
  /** Null for a pool, whose tables say the day of each row. */
  readonly day: string | null;
  readonly tables: ReadonlyMap<TableName, CellTable>;
  /** What tells two datasets of one day apart: all the tables' bytes. */
  readonly bytes: string;
}

/** Something that was given and is not in the pool. */
export interface PoolRefusal {
  /** Empty where it is not known. */
  readonly day: string;
  readonly file: string;
  readonly reason: string;
}

/** One day, ready to be pooled. */
interface DayTables {
  readonly day: string;
  readonly name: string;
  /** Rows in the columns of formats.md, without `day`. */
  readonly rows: ReadonlyMap<TableName, readonly (readonly string[])[]>;
  /** The bytes of a dataset's tables; null where it came out of a pool. */
  readonly bytes: string | null;
}

export interface PooledDay {
  readonly day: string;
  readonly rows: ReadonlyMap<TableName, readonly (readonly string[])[]>;
  /** Name of the input it came from and the day there, so that its provenance can be found. */
  readonly from: { readonly name: string; readonly day: string };
}

export interface Pool {
  /** By day, in code order. */
  readonly days: readonly PooledDay[];
  readonly refused: readonly PoolRefusal[];
}

/** The first column of every table of a pool. */
export const DAY_FIELD: Pick<Field<unknown>, 'name' | 'type' | 'unit' | 'description'> = {
  name: 'day',
  type: 'string',
  unit: '',
  description: 'Code of the testing day',
};

/** What identifies a row of each table. */
export const KEYS: Readonly<Record<TableName, readonly string[]>> = {
  participants: ['day', 'participant'],
  calibrations: ['day', 'sensor'],
  trials: ['day', 'trial'],
  strokes: ['day', 'trial', 'hand', 'stroke'],
  refused: [],
};

/** The fields of a pool's table, `day` first, and its key. */
export function poolTable(name: TableName): {
  readonly name: TableName;
  readonly title: string;
  readonly fields: readonly (typeof DAY_FIELD)[];
  readonly key: readonly string[];
} {
  return { name, title: TITLES[name], fields: [DAY_FIELD, ...DATASET_FIELDS[name]], key: KEYS[name] };
}

const TITLES: Readonly<Record<TableName, string>> = {
  participants: 'Swimmers, one row per day',
  calibrations: 'Sensor calibrations',
  trials: 'Trials',
  strokes: 'Arm strokes',
  refused: 'Inputs left out',
};

/**
 * Joins datasets and pools.
 * @param lab prefixes participant and day codes with `lab.`; null for none
 */
export function poolDatasets(inputs: readonly PoolInput[], lab: string | null): Pool {
  const refused: PoolRefusal[] = [];
  const byDay = new Map<string, DayTables[]>();
  for (const input of inputs) {
    const missing = missingColumn(input);
    if (missing !== null) {
      refused.push({ day: input.day ?? '', file: input.name, reason: missing });
      continue;
    }
    const { days, carried } = daysOf(input);
    addAll(refused, carried);
    for (const own of days) byDay.set(own.day, [...(byDay.get(own.day) ?? []), own]);
  }
  const days: PooledDay[] = [];
  for (const day of [...byDay.keys()].sort(inCodeOrder)) {
    const given = byDay.get(day)!;
    const [first, ...others] = given;
    if (others.some((other) => !isSame(first!, other))) {
      for (const { name } of given)
        refused.push({
          day,
          file: name,
          reason: `There are datasets of the day ${day} that differ (${[...new Set(given.map((one) => one.name))].join(', ')}); none of the day is taken. Give one of them; where they are days of two labs, pool each lab by itself with --lab NAME first.`,
        });
      continue;
    }
    const prefixed = withLab(first!, lab);
    if (typeof prefixed === 'string') refused.push({ day, file: first!.name, reason: prefixed });
    else {
      days.push({ day: prefixed.day, rows: prefixed.rows, from: { name: first!.name, day } });
      addAll(refused, prefixed.refused);
    }
  }
  const named = (code: string) => (lab === null || code === '' ? code : `${lab}.${code}`);
  const order = (a: PoolRefusal, b: PoolRefusal) =>
    inCodeOrder(a.day, b.day) || inCodeOrder(a.file, b.file) || inCodeOrder(a.reason, b.reason);
  return { days, refused: refused.map((own) => ({ ...own, day: named(own.day) })).toSorted(order) };
}

/** Codes are of ASCII, where the order of code units is that of code points. */
function inCodeOrder(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}

/** The sentence that names a table or a column that is not there; null where all are. */
function missingColumn({ day, tables }: PoolInput): string | null {
  for (const name of TABLE_NAMES) {
    const table = tables.get(name);
    if (table === undefined) return `There is no ${name}.csv; process the day again.`;
    const wanted = [...(day === null ? ['day'] : []), ...DATASET_FIELDS[name].map((field) => field.name)];
    const missing = wanted.filter((column) => !table.columns.includes(column));
    if (missing.length > 0)
      return `${name}.csv has no column ${missing.join(', ')}; process the day again with this version.`;
  }
  return null;
}

/** The days of an input; refusals that a pool carries of days that are not in it stay refusals. */
function daysOf({ name, day, tables, bytes }: PoolInput): {
  readonly days: readonly DayTables[];
  readonly carried: readonly PoolRefusal[];
} {
  const picked = new Map(
    TABLE_NAMES.map((table) => {
      const { columns, rows } = tables.get(table)!;
      const places = DATASET_FIELDS[table].map((field) => columns.indexOf(field.name));
      const ofDay = columns.indexOf('day');
      return [
        table,
        rows.map((row) => ({
          day: day ?? row[ofDay] ?? '',
          cells: places.map((place) => row[place] ?? ''),
        })),
      ] as const;
    }),
  );
  const codes = new Set(day === null ? [] : [day]);
  for (const [table, rows] of picked) if (table !== 'refused') for (const row of rows) codes.add(row.day);
  const split = new Map(
    [...codes].map((code) => [code, new Map<TableName, (readonly string[])[]>()] as const),
  );
  for (const own of split.values()) for (const table of TABLE_NAMES) own.set(table, []);
  const carried: PoolRefusal[] = [];
  for (const [table, rows] of picked)
    for (const row of rows) {
      const own = split.get(row.day)?.get(table);
      if (own !== undefined) own.push(row.cells);
      else carried.push({ day: row.day, file: row.cells[0]!, reason: row.cells.at(-1)! });
    }
  const days = [...split].map(([code, rows]) => ({
    day: code,
    name,
    rows,
    bytes: day === null ? null : bytes,
  }));
  return { days, carried };
}

/** Two datasets are the same by their bytes; where one came out of a pool, by their cells. */
function isSame(a: DayTables, b: DayTables): boolean {
  if (a.bytes !== null && b.bytes !== null) return a.bytes === b.bytes;
  return JSON.stringify([...a.rows]) === JSON.stringify([...b.rows]);
}

/** Rows under a lab's name; a sentence where the day's code would be too long. Too long participants are left out alone. */
function withLab(
  { day, rows }: DayTables,
  lab: string | null,
):
  | string
  | {
      readonly day: string;
      readonly rows: ReadonlyMap<TableName, readonly (readonly string[])[]>;
      readonly refused: readonly PoolRefusal[];
    } {
  const named = (code: string) => (lab === null ? code : `${lab}.${code}`);
  const isTooLong = (code: string) => !isCode(named(code));
  const ownDay = named(day);
  if (!isCode(ownDay)) return tooLong('The day', ownDay, 'the day was left out');
  const lost = new Map<string, number>();
  const result = new Map<TableName, readonly (readonly string[])[]>();
  for (const [table, own] of rows) {
    const place = DATASET_FIELDS[table].findIndex((field) => field.name === 'participant');
    if (place < 0) {
      result.set(table, own);
      continue;
    }
    const kept: (readonly string[])[] = [];
    for (const row of own) {
      const code = row[place]!;
      if (isTooLong(code)) lost.set(code, (lost.get(code) ?? 0) + (table === 'trials' ? 1 : 0));
      else kept.push(row.with(place, named(code)));
    }
    result.set(table, kept);
  }
  const refused = [...lost].map(([code, trials]) => ({
    day,
    file: 'participants.csv',
    reason: tooLong(
      'The participant',
      named(code),
      `the swimmer and ${trials} of their trials were left out`,
    ),
  }));
  return { day: ownDay, rows: result, refused };
}

function tooLong(what: string, code: string, then: string): string {
  return `${what} ${code} has a code of ${code.length} characters, and 64 are the most; ${then}. Give a shorter --lab.`;
}
