/** Looking at a database file before anything is done to it. Nothing here writes. */
import { existsSync, statSync } from 'node:fs';
import type BetterSqlite from 'better-sqlite3';
import { connectTo } from './connection.ts';
import { errorCode, isDamage, StoreFailure, type StoreError } from './errors.ts';
import { contentFolders, type Layout } from './layout.ts';
import { APPLICATION_ID, latestVersion, type Migration } from './migrations.ts';

/** Older SQLite can lose a commit when two connections reset the write-ahead log at once. */
const OLDEST_SQLITE = [3, 51, 3] as const;
/** Below this Node-API version, opening a database ends the whole process. */
const OLDEST_NODE_API = 10;

/**
 * `version` 0 is a file with nothing in it yet; `damage` says what is broken, where its structure is: where that is
 * indexes alone, they can be made anew. `newer` is a file of a later program that has everything this one knows of.
 */
export type Finding =
  | { readonly state: 'sound'; readonly version: number }
  | { readonly state: 'newer'; readonly version: number }
  | { readonly state: 'damaged'; readonly damage: string; readonly onlyIndexes: boolean };

/** Throws a StoreFailure where this Node cannot open databases at all. */
export function requireNodeApi(napi: string | undefined): void {
  if (Number(napi ?? 0) >= OLDEST_NODE_API) return;
  throw new StoreFailure({
    code: 'wrong_runtime',
    says: `This Node offers Node-API ${napi ?? 'none'}; the lab's database needs ${OLDEST_NODE_API} or newer.`,
    todo: 'Start the program with "npm start", which brings its own Node 24, or install Node 24 or newer.',
  });
}

/** Throws a StoreFailure where SQLite is too old to be trusted with a write-ahead log. */
export function requireSqlite(version: string): void {
  const parts = version.split('.').map(Number);
  for (const [place, oldest] of OLDEST_SQLITE.entries()) {
    const part = parts[place] ?? 0;
    if (part > oldest) return;
    if (part < oldest) {
      throw new StoreFailure({
        code: 'wrong_runtime',
        says: `SQLite ${version} is in use; the lab needs ${OLDEST_SQLITE.join('.')} or newer, which keeps every commit.`,
        todo: 'Install the program again with "npm ci", which brings a newer SQLite.',
      });
    }
  }
}

/** Examines `path` through connections of its own, which are closed again. */
export function examineFile(path: string, layout: Layout, migrations: readonly Migration[]): Finding {
  if (!existsSync(path)) return { state: 'sound', version: 0 };
  requireNotEmptied(path, layout);
  const finding = through(path, true, (connection) => examine(connection, layout, migrations));
  // Only now that it is ours may it be opened for writing, without which SQLite passes over CHECK constraints.
  return finding.state !== 'sound' || finding.version === 0
    ? finding
    : through(path, false, (connection) => examine(connection, layout, migrations));
}

function through(
  path: string,
  readonly: boolean,
  look: (connection: BetterSqlite.Database) => Finding,
): Finding {
  const connection = connectTo(path, { readonly, timeout: 5000 });
  try {
    connection.pragma('query_only = ON');
    return look(connection);
  } finally {
    connection.close();
  }
}

/**
 * Finds out whose file this is, how new, and whether it is whole. Throws a StoreFailure for a file of another program,
 * or of a newer version of ours that lacks what this one reads: those are left alone.
 */
export function examine(
  connection: BetterSqlite.Database,
  layout: Layout,
  migrations: readonly Migration[],
): Finding {
  try {
    requireSqlite(String(connection.prepare('SELECT sqlite_version()').pluck().get()));
    const id = Number(connection.pragma('application_id', { simple: true }));
    const version = Number(connection.pragma('user_version', { simple: true }));
    const empty = connection.prepare('SELECT count(*) FROM sqlite_schema').pluck().get() === 0;
    if (id === 0 && version === 0 && empty) return { state: 'sound', version: 0 };
    requireOurs(id, layout);
    const newer = version > latestVersion(migrations);
    if (newer && !hasAllOf(connection, migrations))
      throw new StoreFailure(fromFuture(version, layout, migrations));
    return damageOf(connection, version, migrations) ?? { state: newer ? 'newer' : 'sound', version };
  } catch (caught) {
    if (!isDamage(errorCode(caught))) throw caught;
    return {
      state: 'damaged',
      damage: caught instanceof Error ? caught.message : String(caught),
      onlyIndexes: false,
    };
  }
}

/** An empty file beside raw files is what a failed copy or a broken disk leaves, not a new lab folder. */
function requireNotEmptied(path: string, layout: Layout): void {
  if (statSync(path).size > 0 || !existsSync(layout.raw) || contentFolders(layout.raw).length === 0) return;
  throw new StoreFailure({
    code: 'damaged',
    says: `The lab file ${path} is empty, although the lab folder holds raw files.`,
    todo: 'Put a backup of lab.sqlite in its place, or remove the empty file to begin with an empty list of days.',
    keptAt: path,
  });
}

function requireOurs(id: number, layout: Layout): void {
  if (id === APPLICATION_ID) return;
  throw new StoreFailure({
    code: 'foreign_file',
    says: `The file ${layout.database} belongs to another program; it was left as it is.`,
    todo: 'Choose another lab folder, or move that file elsewhere.',
  });
}

/** Throws a StoreFailure for a file of a newer version than this program knows. */
export function requireKnown(version: number, latest: number, layout: Layout): void {
  if (version > latest) throw new StoreFailure(newerFile(version, latest, layout));
}

/** What is said of a file of a newer version of this program. */
export function fromFuture(version: number, layout: Layout, migrations: readonly Migration[]): StoreError {
  return newerFile(version, latestVersion(migrations), layout);
}

function newerFile(version: number, latest: number, layout: Layout): StoreError {
  return {
    code: 'from_future',
    says: `The lab folder ${layout.folder} was written by a newer version of this program (file version ${version}, this one knows ${latest}); it was left as it is.`,
    todo: 'Open it with the newer version to go on with it, or choose another lab folder.',
  };
}

/** True where every table and column that this program knows is there. */
function hasAllOf(connection: BetterSqlite.Database, migrations: readonly Migration[]): boolean {
  const there = new Set(shapeOf(connection).map((column) => JSON.stringify(column)));
  return withReference(migrations, latestVersion(migrations), (reference) =>
    shapeOf(reference).every((column) => there.has(JSON.stringify(column))),
  );
}

function withReference<T>(
  migrations: readonly Migration[],
  version: number,
  look: (reference: BetterSqlite.Database) => T,
): T {
  const reference = connectTo(':memory:');
  try {
    for (const step of migrations) if (step.version <= version) reference.exec(step.sql);
    return look(reference);
  } finally {
    reference.close();
  }
}

/** Faults of rows: they cost the row, which seals and shapes tell of, and not the file. */
const OF_ROWS = /^(CHECK constraint failed|NULL value|\S+ value|non-\S+ value) in /;
const OF_INDEXES =
  /^(row \d+ missing from index|wrong # of entries in index|non-unique entry in index|row \d+ values differ from index) /;

/** What of its structure is broken; null where it can be worked with. */
function damageOf(
  connection: BetterSqlite.Database,
  version: number,
  migrations: readonly Migration[],
): Finding | null {
  if (version < 1)
    return { state: 'damaged', damage: `its version number is ${version}`, onlyIndexes: false };
  const faults = connection
    .prepare('PRAGMA integrity_check')
    .pluck()
    .all()
    .map(String)
    .filter((fault) => fault !== 'ok' && !OF_ROWS.test(fault));
  if (faults.length > 0)
    return {
      state: 'damaged',
      damage: faults.slice(0, 3).join('; ').replaceAll(/\s+/g, ' '),
      onlyIndexes: faults.every((fault) => OF_INDEXES.test(fault)),
    };
  if (version > latestVersion(migrations)) return null;
  const sameShape = withReference(
    migrations,
    version,
    (reference) => JSON.stringify(shapeOf(connection)) === JSON.stringify(shapeOf(reference)),
  );
  return sameShape
    ? null
    : { state: 'damaged', damage: 'its tables are not those of its version', onlyIndexes: false };
}

/** Every table's columns, by name and type. */
function shapeOf(connection: BetterSqlite.Database): unknown[] {
  return connection
    .prepare(
      `SELECT t.name AS holder, c.name, c.type, c.pk FROM sqlite_schema t, pragma_table_info(t.name) c
       WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite_%' ORDER BY t.name, c.cid`,
    )
    .all();
}
