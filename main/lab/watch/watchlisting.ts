/** What lies in a watched folder: its files and those of its sub-folders, one deep. */
import { readdir, realpath, stat } from 'node:fs/promises';
import type { Dirent } from 'node:fs';
import { join } from 'node:path';
import { isWithin } from '../kept/places.ts';

export interface Seen {
  /** Inside the folder, with forward slashes. */
  readonly name: string;
  readonly path: string;
  readonly bytes: number;
  readonly modifiedMs: number;
}

export interface Listing {
  readonly files: readonly Seen[];
  /** What of the folder was not looked at, in one sentence; empty where nothing. */
  readonly says: string;
}

/** A folder with more files than this is no folder of one day. */
const MOST_FILES = 2000;
/** Hidden files, what programs write while they copy or edit, and what systems leave in folders. */
const PASSED_OVER = /^[.~]|~$|\.(part|partial|tmp|temp|crdownload|download)$|^(thumbs\.db|desktop\.ini)$/i;
/** Folders that this program made hold no files of an acquisition computer. */
const OURS = ['lab.sqlite', 'day.json', 'datapackage.json'];

/**
 * Lists a folder, given by its real path; null where it cannot be reached. Links are followed as long as they lead to
 * a file inside the folder.
 */
export async function listFiles(folder: string): Promise<Listing | null> {
  const top = await entriesOf(folder);
  if (top === null) return null;
  const below = await Promise.all(
    top
      .filter((entry) => entry.isDirectory())
      .map(async ({ name }) => ({ name, entries: await entriesOf(join(folder, name)) })),
  );
  const names = [
    ...namesIn(top),
    ...below.flatMap(({ name, entries }) =>
      entries === null || entries.some((entry) => OURS.includes(entry.name))
        ? []
        : namesIn(entries).map((inner) => `${name}/${inner}`),
    ),
  ];
  const looked = names.toSorted().slice(0, MOST_FILES);
  const files = await Promise.all(looked.map((name) => see(folder, name)));
  const unread = below.find(({ entries }) => entries === null);
  return { files: files.filter((seen) => seen !== null), says: saysOf(names.length, unread?.name) };
}

function saysOf(count: number, unread: string | undefined): string {
  if (count > MOST_FILES)
    return `The folder holds ${count} files; only the first ${MOST_FILES} by name are looked at. Choose a folder of the day’s own.`;
  return unread === undefined ? '' : `The sub-folder ${unread} cannot be read, so its files are not taken.`;
}

async function entriesOf(folder: string): Promise<readonly Dirent[] | null> {
  try {
    const entries = await readdir(folder, { withFileTypes: true });
    return entries.filter(({ name }) => !PASSED_OVER.test(name));
  } catch {
    return null;
  }
}

function namesIn(entries: readonly Dirent[]): readonly string[] {
  return entries.filter((entry) => entry.isFile() || entry.isSymbolicLink()).map(({ name }) => name);
}

/** A file as it is now; null where it is none, is gone, or leads out of the folder. */
export async function see(folder: string, name: string): Promise<Seen | null> {
  try {
    const path = await realpath(join(folder, name));
    if (!isWithin(path, folder)) return null;
    const facts = await stat(path);
    return facts.isFile() ? { name, path, bytes: facts.size, modifiedMs: facts.mtimeMs } : null;
  } catch {
    return null;
  }
}

/** True where nothing tells that a file was written in between. */
export function isSame(one: Seen, other: Seen | null): boolean {
  return one.path === other?.path && one.bytes === other.bytes && one.modifiedMs === other.modifiedMs;
}
