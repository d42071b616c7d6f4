/** Folders a day may be opened from: only below the places a person has allowed. */
import { existsSync } from 'node:fs';
import { readdir, realpath, stat } from 'node:fs/promises';
import { homedir } from 'node:os';
import { basename, dirname, isAbsolute, join, sep } from 'node:path';
import type { LabError } from '../../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import type { PlaceEntry, PlaceList } from '../../../core/contract/views.ts';
import { PLACES_SHAPE } from '../shapes/settings.ts';
import { readText } from '../shapes/shape.ts';
import { now, operatorOf, storeFault, type Session } from './session.ts';

const SETTING = 'places';
/** A folder with more entries than this is listed up to here. */
const MOST_ENTRIES = 2000;

/** The allowed places: those a person chose, at first their home folder. */
function allowedPlaces({ store }: Session): readonly string[] {
  const saved = store.getSetting(SETTING);
  return saved === null ? [homedir()] : readText(PLACES_SHAPE, saved.text, 'setting places');
}

function savePlaces(session: Session, places: readonly string[]) {
  const text = JSON.stringify(places.toSorted());
  return session.store.setSetting(SETTING, text, operatorOf(session), now());
}

/** The real path of a folder that lies in an allowed place. */
export async function allowedFolder(session: Session, path: string): Promise<Outcome<string, LabError>> {
  const real = await realFolder(path);
  if (real === null) return notThere(path);
  for (const place of allowedPlaces(session)) {
    const root = await realFolder(place);
    if (root !== null && isWithin(real, root)) return done(real);
  }
  return failed({
    code: 'place_not_allowed',
    says: `${path} does not lie in a place that you have allowed.`,
    todo: 'Allow the folder first, then open it.',
  });
}

/** True where a path is a folder or lies in it; both real paths. */
export function isWithin(inner: string, outer: string): boolean {
  return inner === outer || inner.startsWith(outer.endsWith(sep) ? outer : outer + sep);
}

async function realFolder(path: string): Promise<string | null> {
  if (!isAbsolute(path) || path.includes('\0')) return null;
  try {
    const real = await realpath(path);
    return (await stat(real)).isDirectory() ? real : null;
  } catch {
    return null;
  }
}

function notThere(path: string): { readonly ok: false; readonly error: LabError } {
  return failed({
    code: 'not_found',
    says: `There is no folder ${path}, or it may not be read.`,
    todo: 'Give the whole path of a folder on this computer, from its root.',
  });
}

/** Lists a folder's folders, or the allowed places where `path` is null. */
export async function listPlaces(
  session: Session,
  path: string | null,
): Promise<Outcome<PlaceList, LabError>> {
  if (path === null) {
    const entries = allowedPlaces(session).map((place) => toEntry(place, place));
    return done({ path: null, parent: null, isDay: false, entries });
  }
  const folder = await allowedFolder(session, path);
  if (!folder.ok) return folder;
  let children;
  try {
    children = await readdir(folder.value, { withFileTypes: true });
  } catch {
    return notThere(path);
  }
  const above = await allowedFolder(session, dirname(folder.value));
  const entries = children
    .filter((entry) => entry.isDirectory() && !entry.name.startsWith('.'))
    .map((entry) => entry.name)
    .toSorted((a, b) => a.localeCompare(b))
    .slice(0, MOST_ENTRIES)
    .map((name) => toEntry(join(folder.value, name), name));
  return done({
    path: folder.value,
    parent: above.ok && above.value !== folder.value ? above.value : null,
    isDay: isDayFolder(folder.value),
    entries,
  });
}

function toEntry(path: string, name: string): PlaceEntry {
  return { name: name === path ? path : basename(name), path, isDay: isDayFolder(path) };
}

function isDayFolder(path: string): boolean {
  return existsSync(join(path, 'day.json'));
}

export async function allowPlace(session: Session, path: string): Promise<Outcome<PlaceList, LabError>> {
  const real = await realFolder(path);
  if (real === null) return notThere(path);
  const saved = savePlaces(session, [...new Set([...allowedPlaces(session), real])]);
  return saved.ok ? listPlaces(session, null) : storeFault(saved.error);
}

export async function forbidPlace(session: Session, path: string): Promise<Outcome<PlaceList, LabError>> {
  const saved = savePlaces(
    session,
    allowedPlaces(session).filter((place) => place !== path),
  );
  return saved.ok ? listPlaces(session, null) : storeFault(saved.error);
}
