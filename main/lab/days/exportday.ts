/** A day written as a day folder, with everything decided in it; `lanebench process` reads it to the same numbers. */
import { existsSync } from 'node:fs';
import { realpath, rm } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import type { FilmsToExport } from '../../../core/contract/contract.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import type { Daybook, TrialEntry } from '../../../core/day/book.ts';
import { dayFolderTexts, withoutFilms } from '../../../core/dataset/dayexport.ts';
import { filmHolds } from '../../../core/day/tables.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { isFree, recover, writeFolder, type OutFile } from '../../files/outfolder.ts';
import { whyNotWritten } from '../../files/outplace.ts';
import { insidePath } from '../../files/source.ts';
import { decisionsOn, statusOf } from './status.ts';
import { decidedOn } from '../kept/decided.ts';
import { namesHidden } from '../kept/deckhidden.ts';
import { dayEvidence, restsOnDamage } from '../kept/evidence.ts';
import { allowedFolder, isWithin } from '../kept/places.ts';
import type { Session } from '../kept/session.ts';
import { keptDay, type KeptDay } from '../kept/keptday.ts';
import { rememberedWhile } from '../kept/unfinished.ts';

/** Writes the folder whole or not at all, with the films that may go along; `path` must not exist or be an empty folder, its parent in an allowed place. */
export async function exportDay(
  session: Session,
  id: number,
  path: string,
  films: FilmsToExport,
): Promise<Outcome<{ readonly path: string; readonly files: number }, LabError>> {
  const day = await keptDay(session, id);
  if (!day.ok) return day;
  if (day.value.rule !== 'day')
    return failed({
      code: 'bad_input',
      says: `The day ${day.value.row.day} uses calibrations from the register, which calibration.csv cannot carry: it holds the readings of the day folder.`,
      todo: 'Choose the day folder’s own calibrations for this day, export it, then choose your rule again.',
    });
  const damaged = await dayEvidence(session, day.value);
  if (damaged.length > 0) return restsOnDamage(`The day ${day.value.row.day} was not written`, damaged);
  const place = await placeFor(session, path);
  if (!place.ok) return place;
  const out = place.value;
  const book = withoutFilms(day.value.book, leftBehind(films));
  const files = await filesOf(session, { ...day.value, book });
  try {
    await rememberedWhile(session, 'folder', out, () => writeFolder(out, files, false));
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === undefined && existsSync(out) && !(await isFree(out)))
      return taken(path);
    return failed({
      code: 'bad_input',
      says: `The day could not be written to ${path}: ${whyNotWritten(error)}.`,
      todo: 'Nothing was left there. See that there is room and that you may write, or choose another folder.',
    });
  }
  if (await isStillAllowed(session, id, book)) return done({ path: out, files: files.size });
  await rm(out, { recursive: true, force: true });
  return withdrawnMeanwhile('The day was not exported');
}

/** True where nobody of a day as it was has withdrawn a consent since. */
export async function isStillAllowed(session: Session, id: number, was: Daybook): Promise<boolean> {
  const day = await keptDay(session, id);
  if (!day.ok) return false;
  const swimmers = new Map(day.value.book.roster.map((row) => [row.participant, row]));
  return was.roster.every((row) => {
    const now = swimmers.get(row.participant);
    if (now === undefined || (filmHolds(row) && !filmHolds(now))) return false;
    return row.film_sharing_consent !== 'given' || now.film_sharing_consent === 'given';
  });
}

export function withdrawnMeanwhile(what: string): { readonly ok: false; readonly error: LabError } {
  return failed({
    code: 'changed_meanwhile',
    says: `${what}: a consent was withdrawn while it was being written.`,
    todo: 'Nothing was left there. Do it again: what may no longer be shown is then left out.',
  });
}

/** Whose films do not go along. */
function leftBehind(films: FilmsToExport): (entry: TrialEntry) => boolean {
  if (films === 'all') return () => false;
  return ({ participant }) => films === 'none' || participant.film_sharing_consent !== 'given';
}

/** Where the folder is to be: its real path. */
export async function placeFor(session: Session, path: string): Promise<Outcome<string, LabError>> {
  const isThere = existsSync(path);
  const real = await allowedFolder(session, isThere ? path : dirname(path));
  if (!real.ok) return real;
  const out = isThere ? real.value : join(real.value, basename(path));
  if (isWithin(out, await realpath(session.store.folder)))
    return failed({
      code: 'bad_input',
      says: `${path} lies in the lab folder, which holds the program’s own files.`,
      todo: 'Choose a folder elsewhere.',
    });
  await recover(out);
  return (await isFree(out)) ? done(out) : taken(path);
}

function taken(path: string): { readonly ok: false; readonly error: LabError } {
  return failed({
    code: 'bad_input',
    says: `${path} exists and is not empty; nothing was written over.`,
    todo: 'Give the name of a new folder, or of an empty one.',
  });
}

async function filesOf(session: Session, day: KeptDay): Promise<ReadonlyMap<string, OutFile>> {
  const { book, row, source } = day;
  const decisions = decisionsOn(session, row.id);
  const names = namesHidden(session, row.id);
  const words = new Map(
    book.trials.map((entry) => {
      const { trial } = entry.row;
      return [trial, statusOf(entry, decisions.get(trial), names)] as const;
    }),
  );
  const files = new Map<string, OutFile>(dayFolderTexts(book, words, decidedOn(session, row.id).areas));
  for (const { row: trial, films } of book.trials)
    for (const path of [trial.trace, ...[...films.values()].map(({ file }) => file)]) {
      const inside = path === null ? null : insidePath(path);
      if (inside === null || files.has(inside)) continue;
      const found = await source.find(inside);
      if (found.kind === 'file') files.set(inside, { copyOf: found.absolute });
    }
  return files;
}
