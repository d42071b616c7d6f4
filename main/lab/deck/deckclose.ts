/** Closing a testing day: a backup of the lab folder that was read back, and the day's dataset. */
import { existsSync } from 'node:fs';
import { mkdir, realpath, rename, rm } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { LabError } from '../../../core/base/refusal.ts';
import { counted } from '../../../core/base/words.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { backUp, lastBackup, placeOutside } from '../days/backup.ts';
import { makeDataset, type DatasetOutcome } from '../days/dataset.ts';
import { recover, stagingFor } from '../../files/outfolder.ts';
import { syncFolder } from '../../store/durable.ts';
import { localClock } from './deckclock.ts';
import { exportDay, isStillAllowed, withdrawnMeanwhile } from '../days/exportday.ts';
import type { Done, Progress } from '../kept/jobs.ts';
import { allowedFolder, isWithin } from '../kept/places.ts';
import { now, type Session } from '../kept/session.ts';
import { keptDay } from '../kept/keptday.ts';
import { rememberedWhile } from '../kept/unfinished.ts';

/** The latest backup that was made here and read back; null where none was. */
export function lastBackupOf(session: Session): {
  readonly says: string;
  readonly at: string;
  readonly folder: string;
  readonly isToday: boolean;
} | null {
  const last = lastBackup(session);
  return last === null ? null : { ...last, isToday: dayOf(last.at) === dayOf(now()) };
}

function dayOf(instant: string): string {
  return localClock(instant).slice(0, 10);
}

/**
 * Copies the whole lab folder into a new folder below an allowed place, reads the copy back, and notes that it was done.
 * Nothing that exists is written over; a cancelled one leaves nothing.
 */
export async function backupDay(
  session: Session,
  path: string,
  progress: Progress,
): Promise<Outcome<Done, LabError>> {
  const place = await placeOutside(session, path);
  if (!place.ok) return place;
  const folder = freeName(join(place.value, `lanebench-backup-${stamp(now())}`));
  making.add(folder);
  try {
    return await backUp(session, folder, false, progress);
  } finally {
    making.delete(folder);
  }
}

/** An instant for a folder's name, by the clock on the wall: `2026-03-14-153205`. */
function stamp(instant: string): string {
  return localClock(instant).replaceAll(':', '').replace(' ', '-');
}

/** Folders of backups that are being made: they are not there until they are proven. */
const making = new Set<string>();

function freeName(path: string): string {
  for (let count = 1; ; count++) {
    const name = count === 1 ? path : `${path}-${count}`;
    if (!existsSync(name) && !making.has(name)) return name;
  }
}

/**
 * Writes a day as a day folder, and the dataset that the command line makes of it, into a new folder named after the
 * day below an allowed place. Whole or not at all: what fails or is cancelled leaves nothing.
 */
export async function datasetOf(
  session: Session,
  id: number,
  path: string,
  progress: Progress,
): Promise<Outcome<Done, LabError>> {
  const place = await allowedFolder(session, path);
  if (!place.ok) return place;
  const row = session.store.getDay(id);
  if (row === null)
    return failed({
      code: 'not_found',
      says: `There is no day ${id} in the lab folder.`,
      todo: 'Go back to the list of days.',
    });
  if (isWithin(place.value, await realpath(session.store.folder)))
    return failed({
      code: 'bad_input',
      says: `${path} lies in the lab folder, which holds the program’s own files.`,
      todo: 'Choose a folder elsewhere.',
    });
  // A code may be dots alone, which name another folder.
  const out = join(place.value, /^\.+$/.test(row.day) ? `day${row.day}` : row.day);
  if (existsSync(out))
    return failed({
      code: 'bad_input',
      says: `${out} exists already; nothing was written over.`,
      todo: 'Choose another folder, or move that one away.',
    });
  return rememberedWhile(session, 'folder', out, () => buildBoth(session, id, row.day, out, progress));
}

async function buildBoth(
  session: Session,
  id: number,
  day: string,
  out: string,
  progress: Progress,
): Promise<Outcome<Done, LabError>> {
  const { path: building, letGo } = stagingFor(out);
  try {
    try {
      await recover(out);
      await mkdir(building);
    } catch (error) {
      return failed({
        code: 'bad_input',
        says: `The folder ${out} could not be made: ${(error as Error).message}.`,
        todo: 'See that there is room and that you may write, or choose another folder.',
      });
    }
    const written = await writeBoth(session, id, day, { building, out }, progress);
    // Its parts are on the disk; it takes its name last.
    if (written.ok) await rename(building, out);
    if (written.ok) syncFolder(dirname(out));
    return written;
  } finally {
    await rm(building, { recursive: true, force: true });
    letGo();
  }
}

async function writeBoth(
  session: Session,
  id: number,
  day: string,
  { building, out }: { readonly building: string; readonly out: string },
  progress: Progress,
): Promise<Outcome<Done, LabError>> {
  const [folder, dataset] = [join(building, 'day-folder'), join(building, 'dataset')];
  const stored = await keptDay(session, id);
  if (!stored.ok) return stored;
  const { leftOut } = stored.value.book;
  const exported = await exportDay(session, id, folder, 'all');
  if (!exported.ok) return exported;
  let outcome: DatasetOutcome;
  try {
    progress.signal.throwIfAborted();
    progress.step();
    outcome = await makeDataset(
      { folder, out: dataset, replace: false, home: session.store.folder },
      (_, total) => {
        progress.signal.throwIfAborted();
        progress.total(total + 1);
        progress.step();
      },
    );
  } catch (error) {
    if (!progress.signal.aborted) throw error;
    return failed({
      code: 'cancelled',
      says: 'The dataset was not made: it was cancelled.',
      todo: 'Nothing was left in its place; make it again when you like.',
    });
  }
  if (outcome.kind !== 'written')
    return failed({
      code: 'bad_input',
      says: `The dataset of ${day} was not made: ${outcome.says}`,
      todo: 'Nothing was left in its place. Put the day right, or choose another folder, then make it again.',
    });
  if (!(await isStillAllowed(session, id, stored.value.book)))
    return withdrawnMeanwhile('The dataset was not made');
  return done({ day: id, says: datasetText(outcome, leftOut.swimmers, day, out) });
}

function datasetText(
  { book, refused }: Extract<DatasetOutcome, { readonly kind: 'written' }>,
  leftOut: number,
  day: string,
  out: string,
): string {
  const unshared = book.trials.filter(
    ({ films, participant }) => films.size > 0 && participant.film_sharing_consent !== 'given',
  ).length;
  const parts = [
    `${counted(book.trials.length, 'trial')} of ${day} written to ${out}: the day as a day folder, and its dataset.`,
  ];
  if (leftOut > 0) parts.push(`${counted(leftOut, 'swimmer')} left out for consent.`);
  if (refused.length > 0) parts.push(`${counted(refused.length, 'input')} refused; refused.csv says why.`);
  if (unshared > 0)
    parts.push(
      `The day folder holds films of ${counted(unshared, 'trial')} that are not known to be allowed to be shown: do not hand them on.`,
    );
  return parts.join(' ');
}
