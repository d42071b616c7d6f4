/**
 * A backup is a lab folder like any other: it can be opened. It is built beside its place, read back, and takes its
 * name only when it is proven; nothing that exists is overwritten.
 */
import { chmodSync, existsSync, statSync, writeFileSync } from 'node:fs';
import { chmod, open } from 'node:fs/promises';
import { dirname, isAbsolute, join, relative, resolve, sep } from 'node:path';
import { connectTo } from './connection.ts';
import type { Outcome } from '../../core/base/refusal.ts';
import { markDamage } from './damage.ts';
import { readable, type ReadableDb } from './database.ts';
import { buildBeside, isEmptyFolder } from './beside.ts';
import { makeFolder, syncFile, syncFolder } from './durable.ts';
import { attemptAsync, StoreFailure, type StoreError } from './errors.ts';
import { hashFile, readThrough, writeAll } from './hash.ts';
import { lastAct } from './acts.ts';
import { resetHead } from './head.ts';
import { databaseFaults, missingContents } from './integrity.ts';
import { contentFolders, contentPath, contents, layoutOf, type Layout } from './layout.ts';
import { APPLICATION_ID } from './migrations.ts';
import { OWN } from './own.ts';

/** Told before each raw file how many are done, and of how many. */
export type OnFile = (done: number, total: number) => void;

/** Lies in a backup that can be brought up to date; a lab folder that is worked with has none. */
export const MARK_FILE = 'backup.json';
const MARK = '{ "format": "lanebench-backup/1" }\n';

export interface Backup {
  readonly folder: string;
  readonly rawFiles: number;
  readonly rawBytes: number;
  readonly databaseBytes: number;
  /** Raw files that the backup had already. */
  readonly unchanged: number;
  /** Raw files that were damaged in the lab folder already: copied as they are. */
  readonly damagedRaw: readonly string[];
  /** Contents that a day, a recording or a file that came in names and the lab folder lacks. */
  readonly missingRaw: readonly string[];
}

/**
 * Copies the lab folder to a new or empty folder.
 * @param marked whether the copy is a backup, to be brought up to date where it lies, rather than a lab folder to work with
 */
export async function backupTo(
  db: ReadableDb,
  layout: Layout,
  folder: string,
  marked: boolean,
  signal?: AbortSignal,
  onFile?: OnFile,
): Promise<Outcome<Backup, StoreError>> {
  const target = resolve(folder);
  return attemptAsync(dirname(target), async () => {
    requireFree(target, layout);
    const made = await buildBeside(target, async (building) => {
      const copied = await build(db, layout, layoutOf(building), signal, onFile);
      if (marked) writeFileSync(join(building, MARK_FILE), MARK, { flush: true, mode: OWN.file });
      return copied;
    });
    return { folder: target, ...made };
  });
}

function requireFree(target: string, layout: Layout): void {
  const within = relative(resolve(layout.folder), target);
  const inside = within === '' || (within !== '..' && !within.startsWith(`..${sep}`) && !isAbsolute(within));
  if (!inside && (!existsSync(target) || isEmptyFolder(target))) return;
  throw new StoreFailure({
    code: 'target_taken',
    says: inside
      ? `The backup ${target} would lie inside the lab folder itself.`
      : `There is something at ${target} already; a backup overwrites nothing.`,
    todo: 'Choose a new or empty folder, best on another disk.',
  });
}

async function build(
  db: ReadableDb,
  from: Layout,
  to: Layout,
  signal?: AbortSignal,
  onFile: OnFile = () => undefined,
): Promise<Omit<Backup, 'folder'>> {
  // The database comes first: a raw file is always there before the day that names it.
  await db.copyTo(to.database);
  const damagedRaw: string[] = [];
  const found = existsSync(from.raw) ? contents(from.raw) : [];
  let [rawFiles, rawBytes] = [0, 0];
  for (const [index, { sha256, path }] of found.entries()) {
    onFile(index, found.length);
    // Content that nothing names may be taken away meanwhile; what is named and gone is found at the end.
    if (!existsSync(path)) continue;
    const place = contentPath(to.raw, sha256);
    const read = await copyContent(path, place, signal);
    const copy = await hashFile(place, signal);
    if (copy.sha256 !== read) throw unproven(`the copy of ${path} does not read back the same`);
    if (copy.sha256 !== sha256) damagedRaw.push(path);
    rawFiles += 1;
    rawBytes += copy.bytes;
  }
  if (rawFiles > 0) {
    for (const start of contentFolders(to.raw)) syncFolder(join(to.raw, start));
    syncFolder(to.raw);
  }
  syncFolder(to.folder);
  const missingRaw = proveDatabase(to);
  const databaseBytes = statSync(to.database).size;
  return { rawFiles, rawBytes, unchanged: 0, databaseBytes, damagedRaw, missingRaw };
}

/** Copies a file to the disk; gives the SHA-256 of what was read. */
export async function copyContent(from: string, to: string, signal?: AbortSignal): Promise<string> {
  makeFolder(dirname(to));
  const target = await open(to, 'wx', OWN.file);
  try {
    const { sha256 } = await readThrough(from, (piece) => writeAll(target, piece), signal);
    await target.sync();
    return sha256;
  } finally {
    await target.close();
    await chmod(to, OWN.raw);
  }
}

/**
 * Reads the copied database back and leaves it one file without a log; gives the contents the backup will lack.
 * @param raw where the backup's raw files lie
 */
export function proveDatabase(to: Layout, raw = to.raw): string[] {
  chmodSync(to.database, OWN.file);
  const connection = connectTo(to.database);
  try {
    connection.pragma('journal_mode = DELETE');
    const copy = readable(connection, markDamage(connection, readable(connection)));
    const faults = databaseFaults(copy);
    if (faults.length > 0) throw unproven(`the copy of the database is not whole: ${faults.join('; ')}`);
    if (connection.pragma('application_id', { simple: true }) !== APPLICATION_ID) {
      throw unproven('the copy of the database does not read back as ours');
    }
    resetHead(to.head, lastAct(copy));
    return missingContents(copy, raw);
  } finally {
    connection.close();
    syncFile(to.database);
  }
}

export function unproven(why: string): StoreFailure {
  return new StoreFailure({
    code: 'backup_unproven',
    says: `No backup was made: ${why}.`,
    todo: 'Try another disk; if it happens again, have the disk of the lab folder checked.',
  });
}
