/**
 * A backup brought up to date where it lies: raw files that it lacks are copied first, then its database is replaced by
 * a proven copy in one rename, so that at every moment it is the backup of before or that of now. Nothing that it holds
 * is taken away: a raw file that the lab folder has lost is what a backup is for.
 */
import { randomUUID } from 'node:crypto';
import { existsSync, readdirSync, renameSync, rmSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { connectTo } from './connection.ts';
import { lastAct, wasLink } from './acts.ts';
import { copyContent, MARK_FILE, proveDatabase, unproven, type Backup, type OnFile } from './backup.ts';
import { readable, type ReadableDb } from './database.ts';
import { makeFolder, syncFolder } from './durable.ts';
import { StoreFailure } from './errors.ts';
import { hashFile } from './hash.ts';
import { readHead, resetHead } from './head.ts';
import { isRunning } from './raw.ts';
import { contentPath, contents, layoutOf, type Layout } from './layout.ts';

/** True where a backup lies that can be brought up to date. */
export function isBackup(folder: string): boolean {
  return existsSync(join(folder, MARK_FILE)) && existsSync(layoutOf(folder).database);
}

/** `full` reads back everything that the backup holds, and copies anew what is not whole. */
export async function backupAgain(
  db: ReadableDb,
  from: Layout,
  to: Layout,
  full: boolean,
  signal?: AbortSignal,
  onFile: OnFile = () => undefined,
): Promise<Omit<Backup, 'folder'>> {
  requireOurs(db, to);
  for (const name of readdirSync(to.folder)) {
    const pid = Number(/^unfinished-(\d+)$/.exec(name)?.[1] ?? 0);
    if (pid > 0 && (pid === process.pid || !isRunning(pid)))
      rmSync(join(to.folder, name), { recursive: true, force: true });
  }
  // Where what is being copied lies until it is proven; what a kill left there is cleared away by the next backup.
  const work = join(to.folder, `unfinished-${process.pid}`);
  makeFolder(work);
  try {
    // The database comes first: a raw file is always there before the day that names it.
    const fresh = layoutOf(work);
    await db.copyTo(fresh.database);
    const counts = await bringFiles(from, to, work, full, signal, onFile);
    const missingRaw = proveDatabase(fresh, to.raw);
    renameSync(fresh.database, to.database);
    // A head of before agrees with the database of now: it is written after it.
    const head = readHead(fresh.head);
    if (head !== null) resetHead(to.head, head);
    syncFolder(to.folder);
    return { ...counts, missingRaw, databaseBytes: statSync(to.database).size };
  } finally {
    rmSync(work, { recursive: true, force: true });
  }
}

async function bringFiles(
  from: Layout,
  to: Layout,
  work: string,
  full: boolean,
  signal: AbortSignal | undefined,
  onFile: OnFile,
): Promise<Pick<Backup, 'rawFiles' | 'rawBytes' | 'damagedRaw' | 'unchanged'>> {
  const damagedRaw: string[] = [];
  const found = existsSync(from.raw) ? contents(from.raw) : [];
  let [rawFiles, rawBytes, unchanged] = [0, 0, 0];
  for (const [index, { sha256, path }] of found.entries()) {
    onFile(index, found.length);
    if (!existsSync(path)) continue;
    const place = contentPath(to.raw, sha256);
    if (await isThere(place, sha256, statSync(path).size, full, signal)) {
      unchanged += 1;
      continue;
    }
    const copy = join(work, randomUUID());
    const read = await copyContent(path, copy, signal);
    const { sha256: back, bytes } = await hashFile(copy, signal);
    if (back !== read) throw unproven(`the copy of ${path} does not read back the same`);
    // A damaged file takes the place of nothing that was copied while it was whole.
    if (back !== sha256) damagedRaw.push(path);
    if (back === sha256 || !existsSync(place)) {
      makeFolder(dirname(place));
      rmSync(place, { force: true });
      renameSync(copy, place);
      syncFolder(dirname(place));
    }
    rawFiles += 1;
    rawBytes += bytes;
  }
  return { rawFiles, rawBytes, damagedRaw, unchanged };
}

async function isThere(
  place: string,
  sha256: string,
  bytes: number,
  full: boolean,
  signal: AbortSignal | undefined,
): Promise<boolean> {
  if (!existsSync(place)) return false;
  return full ? (await hashFile(place, signal)).sha256 === sha256 : statSync(place).size === bytes;
}

/** Throws where the backup is of another lab folder, or of one that knows more than this one does. */
function requireOurs(db: ReadableDb, to: Layout): void {
  const refuse = (says: string) =>
    new StoreFailure({
      code: 'target_taken',
      says: `${to.folder} ${says}; nothing was written over.`,
      todo: 'Choose a new folder for this backup.',
    });
  if (existsSync(`${to.database}-wal`)) throw refuse('holds a backup that is open as a lab folder, or was');
  const last = lastActOf(to);
  if (last === null) throw refuse('holds a backup that cannot be read');
  if (last.id === 0) return;
  const same = db.get<{ link: string }>('SELECT link FROM act WHERE id = ?', last.id)?.link;
  if (same === last.link) return;
  if (wasLink(db, last))
    throw refuse('holds a backup from before an erasure, which still holds who was erased');
  const knows = lastAct(db).id;
  throw refuse(
    same === undefined && last.id > knows
      ? `holds a backup with ${last.id} acts, and the lab folder has ${knows}: it may have lost some`
      : 'holds a backup of another lab folder, or one that was worked in',
  );
}

/** The last act of a backup; null where it cannot be read. */
function lastActOf(to: Layout): ReturnType<typeof lastAct> | null {
  try {
    const connection = connectTo(to.database, { readonly: true });
    try {
      return lastAct(readable(connection));
    } finally {
      connection.close();
    }
  } catch {
    return null;
  }
}

/** True where a backup lies that is from before an erasure: it is not brought up to date. */
export function predatesErasure(db: ReadableDb, folder: string): boolean {
  const last = isBackup(folder) ? lastActOf(layoutOf(folder)) : null;
  return last !== null && wasLink(db, last);
}
