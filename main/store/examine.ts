/** Looking at a database file before anything is done to it. Nothing here writes. */
import { existsSync, statSync } from 'node:fs';
import BetterSqlite from 'better-sqlite3';
import { readable } from './database.ts';
import { errorCode, isDamage, StoreFailure } from './errors.ts';
import { contentFolders, type Layout } from './layout.ts';
import { APPLICATION_ID, latestVersion, type Migration } from './migrations.ts';
import { brokenSeals } from './seals.ts';

/** Older SQLite can lose a commit when two connections reset the write-ahead log at once. */
const OLDEST_SQLITE = [3, 51, 3] as const;
/** Below this Node-API version, opening a database ends the whole process. */
const OLDEST_NODE_API = 10;

/** `version` 0 is a file with nothing in it yet; `damage` says what is broken, where something is. */
type Finding =
  | { readonly state: 'sound'; readonly version: number }
  | { readonly state: 'damaged'; readonly damage: string };

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
  return finding.state === 'damaged' || finding.version === 0
    ? finding
    : through(path, false, (connection) => examine(connection, layout, migrations));
}

function through(
  path: string,
  readonly: boolean,
  look: (connection: BetterSqlite.Database) => Finding,
): Finding {
  const connection = new BetterSqlite(path, { readonly, timeout: 5000 });
  try {
    connection.pragma('query_only = ON');
    return look(connection);
  } finally {
    connection.close();
  }
}

/**
 * Finds out whose file this is, how new, and whether it is whole. Throws a StoreFailure for a file of another program
 * or of a newer version of ours: those are left alone.
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
    requireKnown(version, latestVersion(migrations), layout);
    const damage = damageOf(connection, version, migrations);
    return damage === null ? { state: 'sound', version } : { state: 'damaged', damage };
  } catch (caught) {
    if (!isDamage(errorCode(caught))) throw caught;
    return { state: 'damaged', damage: caught instanceof Error ? caught.message : String(caught) };
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
  if (version <= latest) return;
  throw new StoreFailure({
    code: 'from_future',
    says: `The lab folder ${layout.folder} was written by a newer version of this program (file version ${version}, this one knows ${latest}); it was left as it is.`,
    todo: 'Open it with the newer version, or choose another lab folder.',
  });
}

function damageOf(
  connection: BetterSqlite.Database,
  version: number,
  migrations: readonly Migration[],
): string | null {
  if (version < 1) return `its version number is ${version}`;
  const faults = connection.prepare('PRAGMA integrity_check(1)').pluck().all().map(String);
  if (faults[0] !== 'ok') return faults.join('; ');
  const reference = new BetterSqlite(':memory:');
  try {
    for (const step of migrations) if (step.version <= version) reference.exec(step.sql);
    const sameShape = JSON.stringify(shapeOf(connection)) === JSON.stringify(shapeOf(reference));
    if (!sameShape) return 'its tables are not those of its version';
    return brokenSeals(readable(connection))[0] ?? null;
  } finally {
    reference.close();
  }
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
