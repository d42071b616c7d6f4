/** Opening the database of a lab folder: checked first, then made durable, then brought to the newest version. */
import { accessSync, constants, copyFileSync, existsSync, mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import BetterSqlite from 'better-sqlite3';
import { failed, type Outcome } from '../../core/base/refusal.ts';
import { guarded, settleHead } from './chainhead.ts';
import { readable, writable, type ReadableDb, type WritableDb } from './database.ts';
import { makeFolder, makeNumberedFolder, syncFile, syncFolder } from './durable.ts';
import { attempt, errorCode, StoreFailure, type StoreError } from './errors.ts';
import { examine, examineFile, requireKnown, requireNodeApi } from './examine.ts';
import type { Layout } from './layout.ts';
import { APPLICATION_ID, latestVersion, type Migration } from './migrations.ts';
import { quarantineDatabase } from './quarantine.ts';

/** How long a step waits for another window to finish writing, ms. */
const BUSY_MS = 5000;

/** Opens for reading and writing; makes the folder and the file where there is none. */
export function openWritable(
  layout: Layout,
  migrations: readonly Migration[],
): Outcome<WritableDb, StoreError> {
  return attempt(layout.folder, () => {
    requireNodeApi(process.versions['napi']);
    makeLabFolder(layout);
    const finding = examineFile(layout.database, layout, migrations);
    if (finding.state === 'damaged') throw new StoreFailure(quarantineDatabase(layout, finding.damage));
    const connection = connect(layout, migrations, layout.database, true);
    try {
      settleHead(writable(connection), layout);
      return writable(connection, guarded(layout));
    } catch (caught) {
      connection.close();
      throw caught;
    }
  });
}

/**
 * Opens for reading only. Where the file cannot be read in place (a read-only folder without its log's index) or is
 * of an older version, a copy in the system's temporary folder is read instead.
 */
export function openReadable(
  layout: Layout,
  migrations: readonly Migration[],
): Outcome<ReadableDb, StoreError> {
  if (!existsSync(layout.database)) {
    return failed({
      code: 'not_a_lab_folder',
      says: `There is no lab file lab.sqlite in ${layout.folder}.`,
      todo: 'Choose the folder that holds lab.sqlite.',
    });
  }
  return attempt(layout.folder, () => {
    requireNodeApi(process.versions['napi']);
    return openInPlace(layout, migrations) ?? openCopy(layout, migrations);
  });
}

function openInPlace(layout: Layout, migrations: readonly Migration[]): ReadableDb | null {
  const connection = new BetterSqlite(layout.database, { readonly: true, timeout: BUSY_MS });
  try {
    const finding = examine(connection, layout, migrations);
    if (finding.state === 'damaged') throw new StoreFailure(damagedInPlace(layout, finding.damage));
    if (finding.version === latestVersion(migrations)) return readable(connection);
  } catch (caught) {
    connection.close();
    if (/^SQLITE_(CANTOPEN|READONLY)/.test(errorCode(caught) ?? '')) return null;
    throw caught;
  }
  connection.close();
  return null;
}

function openCopy(layout: Layout, migrations: readonly Migration[]): ReadableDb {
  const folder = mkdtempSync(join(tmpdir(), 'lanebench-'));
  const remove = () => rmSync(folder, { recursive: true, force: true });
  try {
    const copy = join(folder, 'lab.sqlite');
    copyFileSync(layout.database, copy);
    if (existsSync(`${layout.database}-wal`)) copyFileSync(`${layout.database}-wal`, `${copy}-wal`);
    const finding = examineFile(copy, layout, migrations);
    if (finding.state === 'damaged') throw new StoreFailure(damagedInPlace(layout, finding.damage));
    const connection = connect(layout, migrations, copy, false);
    connection.pragma('query_only = ON');
    return readable(connection, remove);
  } catch (caught) {
    remove();
    throw caught;
  }
}

function damagedInPlace(layout: Layout, damage: string): StoreError {
  return {
    code: 'damaged',
    says: `The lab file ${layout.database} is damaged (${damage}); it was left as it is.`,
    todo: 'Open a backup of this lab folder instead.',
    keptAt: layout.database,
  };
}

function makeLabFolder(layout: Layout): void {
  try {
    makeFolder(layout.folder);
    if (!statSync(layout.folder).isDirectory()) throw new Error('a file has that name');
  } catch (caught) {
    throw new StoreFailure({
      code: 'cannot_create',
      says: `The lab folder ${layout.folder} could not be made (${errorCode(caught) ?? (caught instanceof Error ? caught.message : String(caught))}).`,
      todo: 'Choose a folder on a disk you can write to.',
    });
  }
  accessSync(layout.folder, constants.W_OK);
  makeFolder(layout.incoming);
  accessSync(layout.incoming, constants.W_OK);
  if (existsSync(layout.database)) accessSync(layout.database, constants.W_OK);
}

function connect(
  layout: Layout,
  migrations: readonly Migration[],
  path: string,
  keepOlder: boolean,
): BetterSqlite.Database {
  const connection = new BetterSqlite(path, { timeout: BUSY_MS });
  try {
    makeDurable(connection, layout);
    migrate(connection, layout, migrations, keepOlder);
    setPragma(connection, 'foreign_keys', 'ON', 1);
    return connection;
  } catch (caught) {
    connection.close();
    throw caught;
  }
}

function makeDurable(connection: BetterSqlite.Database, layout: Layout): void {
  if (connection.pragma('journal_mode = WAL', { simple: true }) !== 'wal') {
    throw new StoreFailure({
      code: 'unsuitable_disk',
      says: `The disk of ${layout.folder} cannot hold a lab folder: it does not let windows share a write-ahead log.`,
      todo: 'Choose a folder on a disk of this computer rather than on a network share.',
    });
  }
  setPragma(connection, 'synchronous', 'FULL', 2);
  // On macOS an ordinary fsync may stop at the drive's cache; elsewhere these change nothing.
  setPragma(connection, 'fullfsync', 'ON', 1);
  setPragma(connection, 'checkpoint_fullfsync', 'ON', 1);
  setPragma(connection, 'cell_size_check', 'ON', 1);
  // What is taken away is overwritten, so that it cannot be read out of the file afterwards.
  setPragma(connection, 'secure_delete', 'ON', 1);
  setPragma(connection, 'trusted_schema', 'OFF', 0);
}

/** Sets a pragma and reads it back: SQLite passes over one it does not know without a word. */
function setPragma(connection: BetterSqlite.Database, name: string, value: string, expected: number): void {
  connection.pragma(`${name} = ${value}`);
  const found: unknown = connection.pragma(name, { simple: true });
  if (found !== expected)
    throw new Error(`SQLite did not take ${name} = ${value}: it reads ${String(found)}.`);
}

function migrate(
  connection: BetterSqlite.Database,
  layout: Layout,
  migrations: readonly Migration[],
  keepOlder: boolean,
): void {
  const latest = latestVersion(migrations);
  const version = () => Number(connection.pragma('user_version', { simple: true }));
  if (version() === latest) return;
  if (keepOlder && version() > 0) copyBeforeUpgrade(connection, layout);
  // A step may rebuild a table that others refer to; the references are checked before it is committed.
  setPragma(connection, 'foreign_keys', 'OFF', 0);
  connection
    .transaction(() => {
      const from = version();
      requireKnown(from, latest, layout);
      for (const step of migrations)
        if (step.version > from) {
          connection.exec(step.sql);
          step.fill?.(writable(connection));
        }
      connection.pragma(`application_id = ${APPLICATION_ID}`);
      connection.pragma(`user_version = ${latest}`);
      const broken = connection.pragma('foreign_key_check');
      if (!Array.isArray(broken) || broken.length > 0) {
        throw new Error(`The upgrade from version ${from} to ${latest} would break references.`);
      }
    })
    .immediate();
}

function copyBeforeUpgrade(connection: BetterSqlite.Database, layout: Layout): void {
  const folder = makeNumberedFolder(layout.beforeUpgrade);
  const copy = join(folder, 'lab.sqlite');
  connection.prepare('VACUUM INTO ?').run(copy);
  syncFile(copy);
  syncFolder(folder);
}
