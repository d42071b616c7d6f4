/**
 * A new database from whatever can be read of a damaged one: every table row by row, from both ends and in between,
 * then held against its seals and put in an order in which nothing refers to what is gone.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import type BetterSqlite from 'better-sqlite3';
import { connectTo } from './connection.ts';
import { chainAll } from './acts.ts';
import { writable } from './database.ts';
import { APPLICATION_ID, latestVersion, type Migration } from './migrations.ts';
import { mendRows, type Row, type Rows } from './salvagerows.ts';

export interface Salvaged {
  /** Rows that were written, by table. */
  readonly rows: ReadonlyMap<string, number>;
  /** What was lost or had to be changed, one sentence each. */
  readonly says: readonly string[];
}

/** Rows are looked up one by one between the ends of what can be read, up to this number. */
const MOST_LOOKED_UP = 1_000_000;
/** And this many beyond the last one that was read. */
const BEYOND = 1000;

/** Tables that come anew of themselves, or can be computed again. */
const LEFT = new Set(['act', 'result', 'result_input']);

/** In the order in which they refer to one another. */
const ORDER = [
  'day',
  'day_revision',
  'day_file',
  'day_opening',
  'decision',
  'decision_turn',
  'brought_sensor',
  'calibration',
  'calibration_draft',
  'recording',
  'protocol_version',
  'protocol_draft',
  'deck_day',
  'arrival',
  'release',
  'release_file',
  'plan_entry',
  'erasure',
  'tombstone',
  'setting',
  'loss',
];

/**
 * Writes to `to`, which must not exist. `from` is a copy that may be changed. Null where nothing of it can be read.
 */
export function salvageDatabase(from: string, to: string, migrations: readonly Migration[]): Salvaged | null {
  const says: string[] = [];
  const source = openDamaged(from, says);
  if (source === null) return null;
  try {
    const version = versionOf(source, migrations, says);
    const rows = new Map<string, Row[]>();
    const fresh = connectTo(to);
    try {
      for (const step of migrations) if (step.version <= version) fresh.exec(step.sql);
      const known = new Set(
        fresh.prepare("SELECT name FROM sqlite_schema WHERE type = 'table'").pluck().all().map(String),
      );
      for (const table of ORDER)
        if (known.has(table) && !LEFT.has(table)) rows.set(table, readTable(source, fresh, table, says));
      const mended = mendRows(rows, says);
      const written = writeRows(fresh, mended, says);
      if ([...written.values()].every((count) => count === 0)) return null;
      if (known.has('act')) fresh.transaction(() => chainAll(writable(fresh)))();
      fresh.pragma(`application_id = ${APPLICATION_ID}`);
      fresh.pragma(`user_version = ${version}`);
      return { rows: written, says };
    } finally {
      fresh.close();
    }
  } finally {
    source.close();
  }
}

/** Opens what can be opened; a header that is no longer one is written anew in the copy. */
function openDamaged(path: string, says: string[]): BetterSqlite.Database | null {
  for (const mend of [false, true]) {
    if (mend) mendHeader(path);
    let connection: BetterSqlite.Database | null = null;
    try {
      connection = connectTo(path);
      connection.pragma('cell_size_check = ON');
      const tables = connection
        .prepare("SELECT count(*) FROM sqlite_schema WHERE type = 'table'")
        .pluck()
        .get();
      if (Number(tables) > 0) {
        if (mend) says.push('The head of the lab file could not be read; it was taken from an empty one.');
        return connection;
      }
    } catch {
      // It is tried with another head, then given up.
    }
    connection?.close();
  }
  return null;
}

/** Puts the first 100 bytes of an empty database of ours, with the file's own length, in place of the file's. */
function mendHeader(path: string): void {
  const bytes = readFileSync(path);
  const empty = connectTo(':memory:');
  empty.exec('CREATE TABLE t (a)');
  const head = empty.serialize().subarray(0, 100);
  empty.close();
  const pages = Math.floor(bytes.length / head.readUInt16BE(16));
  const mended = Buffer.concat([head, bytes.subarray(100)]);
  mended.writeUInt32BE(pages, 28);
  mended.writeUInt32BE(0, 32);
  mended.writeUInt32BE(0, 36);
  mended.writeUInt32BE(0, 60);
  writeFileSync(path, mended);
}

/** The file's version, else the newest one whose tables are all there. */
function versionOf(source: BetterSqlite.Database, migrations: readonly Migration[], says: string[]): number {
  const latest = latestVersion(migrations);
  const version = Number(source.pragma('user_version', { simple: true }));
  if (version >= 1 && version <= latest) return version;
  says.push(`The version of the lab file reads ${version}; it was read as version ${latest}.`);
  return latest;
}

function readTable(
  source: BetterSqlite.Database,
  fresh: BetterSqlite.Database,
  table: string,
  says: string[],
): Row[] {
  const columns = fresh.prepare(`SELECT name, pk FROM pragma_table_info(?)`).all(table) as {
    name: string;
    pk: number;
  }[];
  const key = columns.filter(({ pk }) => pk > 0).toSorted((a, b) => a.pk - b.pk);
  const names = columns.map(({ name }) => name).join(', ');
  const found = new Map<string, Row>();
  const keyOf = (row: Row) => JSON.stringify(key.map(({ name }) => row[name]));
  let broken = false;
  for (const way of ['ASC', 'DESC']) {
    const order = key.map(({ name }) => `${name} ${way}`).join(', ');
    try {
      const rows = source.prepare(`SELECT ${names} FROM ${table} NOT INDEXED ORDER BY ${order}`).iterate();
      for (const row of rows as IterableIterator<Row>) found.set(keyOf(row), row);
    } catch {
      broken = true;
    }
    if (!broken) break;
  }
  if (!broken) return [...found.values()];
  const [only] = key;
  if (key.length === 1 && only !== undefined) lookUp(source, table, names, only.name, found, keyOf);
  says.push(`Not all of the table ${table} could be read: ${found.size} rows could.`);
  return [...found.values()].toSorted((a, b) =>
    key.length === 1 && typeof a[only!.name] === 'number' ? Number(a[only!.name]) - Number(b[only!.name]) : 0,
  );
}

/** Rows between those read from both ends, by their number. */
function lookUp(
  source: BetterSqlite.Database,
  table: string,
  names: string,
  key: string,
  found: Map<string, Row>,
  keyOf: (row: Row) => string,
): void {
  const numbers = [...found.values()].flatMap((row) => (typeof row[key] === 'number' ? row[key] : []));
  const highest = numbers.reduce((most, number) => Math.max(most, number), 0);
  const one = source.prepare(`SELECT ${names} FROM ${table} WHERE ${key} = ?`);
  for (let id = 1; id <= Math.min(MOST_LOOKED_UP, highest + BEYOND); id++) {
    if (found.has(JSON.stringify([id]))) continue;
    try {
      const row = one.get(id) as Row | undefined;
      if (row !== undefined) found.set(keyOf(row), row);
    } catch {
      // This one is lost.
    }
  }
}

function writeRows(fresh: BetterSqlite.Database, rows: Rows, says: string[]): Map<string, number> {
  const written = new Map<string, number>();
  fresh.pragma('foreign_keys = OFF');
  fresh.transaction(() => {
    for (const table of ORDER) {
      let count = 0;
      for (const row of rows.get(table) ?? []) {
        const names = Object.keys(row);
        try {
          fresh
            .prepare(`INSERT INTO ${table} (${names.join(', ')}) VALUES (${names.map(() => '?').join(', ')})`)
            .run(Object.values(row));
          count += 1;
        } catch {
          says.push(`A row of the table ${table} does not hold what it may; it was left out.`);
        }
      }
      written.set(table, count);
    }
  })();
  return written;
}
