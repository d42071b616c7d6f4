/** Backups of the whole lab folder: made, brought up to date, read back, noted, and restored. */
import { existsSync } from 'node:fs';
import { realpath } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import type { BackupNote } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { bytesText, counted } from '../../../core/base/words.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import type { Backup } from '../../store/backup.ts';
import { isBackup } from '../../store/backupagain.ts';
import { openStoreReadOnly } from '../../store/store.ts';
import type { Done, Progress } from '../kept/jobs.ts';
import { allowedFolder, isWithin } from '../kept/places.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';
import { rememberedWhile } from '../kept/unfinished.ts';
import { BACKUP_SHAPE, BACKUPS_SHAPE } from '../shapes/settings.ts';
import { readText } from '../shapes/shape.ts';

const LAST_BACKUP = 'backup.last';
const BACKUPS = 'backup.made';
/** The name of the one backup of a place that is brought up to date there. */
const KEPT_NAME = 'lanebench-backup';
/** A backup older than this is told of (common practice, no source). */
const OLD_MS = 7 * 86_400_000;

/** The latest backup that was made from here and read back; null where none was. */
export function lastBackup({ store }: Session): BackupNote | null {
  const saved = store.getSetting(LAST_BACKUP);
  if (saved === null) return null;
  const word = readText(BACKUP_SHAPE, saved.text, 'setting backup.last');
  return { ...word, isOld: Date.now() - Date.parse(word.at) > OLD_MS };
}

/** Every place to which a backup was made from here, with the moment of the latest there; oldest first. */
export function backupsMade(session: Session): readonly { readonly folder: string; readonly at: string }[] {
  const saved = session.store.getSetting(BACKUPS);
  const last = lastBackup(session);
  // The first programs that made backups noted the latest alone.
  if (saved === null) return last === null ? [] : [{ folder: last.folder, at: last.at }];
  return readText(BACKUPS_SHAPE, saved.text, `setting ${BACKUPS}`);
}

/** Places to which this process is making a backup now. */
const making = new Set<string>();

/**
 * Copies the lab folder to `folder`, or brings the backup that lies there up to date, reads back what it copied (with
 * `full` all of it), and notes that it was done. A cancelled one leaves what was there.
 */
export async function backUp(
  session: Session,
  folder: string,
  full: boolean,
  progress: Progress,
): Promise<Outcome<Done & { readonly isWhole: boolean }, LabError>> {
  const { store } = session;
  const at = now();
  if (making.has(folder))
    return failed({
      code: 'bad_input',
      says: `A backup to ${folder} is being made already.`,
      todo: 'Wait until it is done.',
    });
  making.add(folder);
  let made;
  try {
    made = await rememberedWhile(session, 'backup', folder, () =>
      store.backupTo(
        folder,
        progress.signal,
        (done, total) => {
          progress.total(total + 1);
          if (done > 0) progress.step();
        },
        full,
      ),
    );
  } catch (error) {
    if (!progress.signal.aborted) throw error;
    return failed({
      code: 'cancelled',
      says: 'The backup was not made: it was cancelled.',
      todo: 'Nothing was left in its place; make one before the day ends.',
    });
  } finally {
    making.delete(folder);
  }
  if (!made.ok) return storeFault(made.error);
  const says = backupText(made.value);
  const note = JSON.stringify({ says, at, folder: made.value.folder });
  // A lab folder that is only looked at is backed up too, and cannot note it.
  if (store.readOnly === null) {
    const others = backupsMade(session).filter((one) => one.folder !== made.value.folder);
    const all = JSON.stringify([...others, { folder: made.value.folder, at }]);
    for (const [key, text] of [
      [BACKUPS, all],
      [LAST_BACKUP, note],
    ] as const) {
      const noted = store.setSetting(key, text, operatorOf(session), at);
      if (!noted.ok) return storeFault(noted.error);
    }
  }
  progress.step();
  const isWhole = made.value.damagedRaw.length + made.value.missingRaw.length === 0;
  return done({ day: null, says: `${says} The backup is ${made.value.folder}.`, isWhole });
}

function backupText({
  rawFiles,
  rawBytes,
  unchanged,
  databaseBytes,
  damagedRaw,
  missingRaw,
}: Backup): string {
  const had = unchanged === 0 ? '' : ` ${counted(unchanged, 'file')} it had already.`;
  const copied = `${counted(rawFiles + 1, 'file')}, ${bytesText(rawBytes + databaseBytes)}, read back and equal.${had}`;
  const damaged =
    damagedRaw.length === 0
      ? ''
      : ` ${counted(damagedRaw.length, 'file')} of the lab folder ${damagedRaw.length === 1 ? 'was' : 'were'} damaged before and copied so: bring the day they belong to in again.`;
  const missing =
    missingRaw.length === 0
      ? ''
      : ` ${counted(missingRaw.length, 'file')} that a day names ${missingRaw.length === 1 ? 'is' : 'are'} not in the lab folder, so not in the backup either.`;
  return `${copied}${damaged}${missing}`;
}

/** Keeps one backup in an allowed place, `lanebench-backup`, or in the place itself where that is one. */
export async function backUpIn(
  session: Session,
  path: string,
  progress: Progress,
): Promise<Outcome<Done, LabError>> {
  const place = await placeOutside(session, path);
  if (!place.ok) return place;
  const folder = isBackup(place.value) ? place.value : join(place.value, KEPT_NAME);
  return backUp(session, afterErasures(session, folder), false, progress);
}

/** The folder, or beside a backup from before an erasure, which is left for a person to delete, the next of its name. */
function afterErasures({ store }: Session, folder: string): string {
  for (let number = 2, place = folder; ; place = `${folder}-${number++}`)
    if (!store.predatesErasure(place)) return place;
}

/** The real path of an allowed place that does not lie in the lab folder. */
export async function placeOutside(session: Session, path: string): Promise<Outcome<string, LabError>> {
  const place = await allowedFolder(session, path);
  if (!place.ok || !isWithin(place.value, await realpath(session.store.folder))) return place;
  return failed({
    code: 'bad_input',
    says: `${path} lies in the lab folder itself; a backup there would be lost with it.`,
    todo: 'Choose a folder elsewhere, best on another disk.',
  });
}

/** Restores the backup in one allowed place into a new or empty folder in another. */
export async function restoreIn(
  session: Session,
  wish: { readonly from: string; readonly to: string },
  progress: Progress,
): Promise<Outcome<Done, LabError>> {
  const from = await allowedFolder(session, wish.from);
  if (!from.ok) return from;
  const isThere = existsSync(wish.to);
  const place = await placeOutside(session, isThere ? wish.to : dirname(wish.to));
  if (!place.ok) return place;
  const to = isThere ? place.value : join(place.value, basename(wish.to));
  const restored = await restoreFolder(from.value, to, (files, total) => {
    progress.total(total + 1);
    if (files > 0) progress.step();
  });
  if (!restored.ok) return restored;
  progress.step();
  const { lines, says } = restored.value;
  return done({
    day: null,
    says: `${says}${lines.map((line) => ` ${line}.`).join('')} To work with it, start the program with LANEBENCH_HOME set to that folder.`,
  });
}

/** Copies a backup to a new or empty folder as a lab folder to work with; `lines` are what of it is not whole. */
export async function restoreFolder(
  from: string,
  to: string,
  onFile: (done: number, total: number) => void,
): Promise<Outcome<{ readonly lines: readonly string[]; readonly says: string }, LabError>> {
  const opened = openStoreReadOnly(from);
  if (!opened.ok) return storeFault(opened.error);
  const store = opened.value;
  try {
    const made = await store.restoreTo(to, onFile);
    if (!made.ok) return storeFault(made.error);
    const { rawFiles, rawBytes, databaseBytes, damagedRaw, missingRaw, folder } = made.value;
    const named = (sha256: string) => store.rawNames(sha256).join('; ') || 'nothing names it';
    const hashOf = (path: string) => basename(dirname(path)) + basename(path);
    const lines = [
      ...store.damage.map(({ says }) => says.replace(/\.$/, '')),
      ...damagedRaw.map((path) => `The raw file ${hashOf(path)} is damaged (${named(hashOf(path))})`),
      ...missingRaw.map((sha256) => `The raw file ${sha256} is not in the backup (${named(sha256)})`),
    ];
    const days = counted(store.listDays().length, 'day');
    const says = `${days}, ${counted(rawFiles + 1, 'file')}, ${bytesText(rawBytes + databaseBytes)}, restored to ${folder}, read back and equal.`;
    return done({ lines, says });
  } finally {
    store.close();
  }
}
