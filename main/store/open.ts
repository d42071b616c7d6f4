/** Opening the database of a lab folder: checked first, then made durable, then brought to the newest version. */
import {
  accessSync,
  chmodSync,
  constants,
  copyFileSync,
  existsSync,
  mkdtempSync,
  rmSync,
  statSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import type BetterSqlite from 'better-sqlite3';
import { connectTo } from './connection.ts';
import { failed, type Outcome } from '../../core/base/refusal.ts';
import { guarded, settleHead } from './chainhead.ts';
import { markDamage } from './damage.ts';
import { readable, writable, type Damage, type ReadableDb, type WritableDb } from './database.ts';
import { makeFolder, makeNumberedFolder, syncFile, syncFolder } from './durable.ts';
import { attempt, errorCode, isDamage, StoreFailure, type StoreError } from './errors.ts';
import { examine, examineFile, fromFuture, requireKnown, requireNodeApi } from './examine.ts';
import type { Layout } from './layout.ts';
import { makeOwn, OWN } from './own.ts';
import { APPLICATION_ID, latestVersion, type Migration } from './migrations.ts';
import { salvageDatabase } from './salvage.ts';

/** How long a step waits for another window to finish writing, ms. */
const BUSY_MS = 5000;

/** Opens for reading and writing; makes the folder and the file where there is none. A damaged file is left as it is. */
export function openWritable(
  layout: Layout,
  migrations: readonly Migration[],
): Outcome<WritableDb, StoreError> {
  return attempt(layout.folder, () => {
    requireNodeApi(process.versions['napi']);
    makeLabFolder(layout);
    const repaired = requireSound(layout, migrations);
    const connection = connect(layout, migrations, layout.database, true);
    try {
      settleHead(writable(connection), layout);
      const damage = [...repaired, ...markDamage(connection, readable(connection))];
      return writable(connection, guarded(layout), damage);
    } catch (caught) {
      connection.close();
      throw caught;
    }
  });
}

/** Throws a StoreFailure where the file is not to be written to; damaged indexes are made anew, which is told. */
function requireSound(layout: Layout, migrations: readonly Migration[]): Damage[] {
  const finding = examineFile(layout.database, layout, migrations);
  if (finding.state === 'newer') throw new StoreFailure(fromFuture(finding.version, layout, migrations));
  if (finding.state === 'sound') return [];
  if (!finding.onlyIndexes) throw new StoreFailure(damagedInPlace(layout, finding.damage));
  const keptAt = makeIndexesAnew(layout);
  const after = examineFile(layout.database, layout, migrations);
  if (after.state === 'damaged') throw new StoreFailure(damagedInPlace(layout, after.damage));
  const says = `An index of the lab file was damaged (${finding.damage}) and was made anew; the file as it was is kept in ${keptAt}.`;
  return [{ day: null, sensor: null, blocks: false, says }];
}

function makeIndexesAnew(layout: Layout): string {
  const folder = makeNumberedFolder(layout.beforeRepair);
  for (const part of ['', '-wal'])
    if (existsSync(layout.database + part)) {
      copyFileSync(layout.database + part, join(folder, `lab.sqlite${part}`));
      syncFile(join(folder, `lab.sqlite${part}`));
    }
  syncFolder(folder);
  const connection = connectTo(layout.database, { timeout: BUSY_MS });
  try {
    connection.pragma('synchronous = FULL');
    connection.exec('REINDEX');
  } finally {
    connection.close();
  }
  return folder;
}

/**
 * Opens for reading only. Where the file cannot be read in place (a read-only folder without its log's index), is of an
 * older version or is damaged, a copy in the system's temporary folder is read instead: upgraded, or made of whatever
 * can be read of it.
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
  let connection: BetterSqlite.Database | null = null;
  try {
    connection = connectTo(layout.database, { readonly: true, timeout: BUSY_MS });
    const finding = examine(connection, layout, migrations);
    if (finding.state !== 'damaged' && finding.version >= latestVersion(migrations))
      return readable(connection, markDamage(connection, readable(connection)));
  } catch (caught) {
    connection?.close();
    const code = errorCode(caught);
    if (/^SQLITE_(CANTOPEN|READONLY)/.test(code ?? '') || isDamage(code)) return null;
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
    chmodSync(copy, OWN.file);
    if (existsSync(`${layout.database}-wal`)) {
      copyFileSync(`${layout.database}-wal`, `${copy}-wal`);
      chmodSync(`${copy}-wal`, OWN.file);
    }
    const finding = examineFile(copy, layout, migrations);
    const lost = finding.state === 'damaged' ? salvaged(layout, copy, finding.damage, migrations) : [];
    const path = lost.length === 0 ? copy : join(folder, 'salvaged.sqlite');
    const connection =
      finding.state === 'newer'
        ? connectTo(path, { timeout: BUSY_MS })
        : connect(layout, migrations, path, false);
    const damage = [...lost, ...markDamage(connection, readable(connection))];
    connection.pragma('query_only = ON');
    return readable(connection, damage, remove);
  } catch (caught) {
    remove();
    throw caught;
  }
}

/** Makes `salvaged.sqlite` beside a damaged copy; what could not be read is told. */
function salvaged(layout: Layout, copy: string, damage: string, migrations: readonly Migration[]): Damage[] {
  const report = salvageDatabase(copy, join(dirname(copy), 'salvaged.sqlite'), migrations);
  if (report === null) throw new StoreFailure(damagedInPlace(layout, damage));
  const none = { day: null, sensor: null, blocks: false };
  return [`The lab file is damaged (${damage}); what could be read of it is shown.`, ...report.says].map(
    (says) => ({ ...none, says }),
  );
}

function damagedInPlace(layout: Layout, damage: string): StoreError {
  return {
    code: 'damaged',
    says: `The lab file ${layout.database} is damaged (${damage}); it was left as it is.`,
    todo: 'To go on, write what can be read to a new lab folder with "lanebench salvage", or open a backup of this lab folder.',
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
  makeOwn(layout.folder);
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
  const connection = connectTo(path, { timeout: BUSY_MS });
  try {
    chmodSync(path, OWN.file);
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
