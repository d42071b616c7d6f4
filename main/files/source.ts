/**
 * Where the files of a testing day are: a day folder on disk, or the lab's own copies of one. A path that leads out
 * of the day is never followed.
 */
import { realpath, stat } from 'node:fs/promises';
import { isAbsolute, join, posix, sep } from 'node:path';

export type Found =
  | { readonly kind: 'file'; readonly absolute: string; readonly bytes: number }
  /** Of the lab folder: it is there and not what it was; `why` goes on from the file's name. */
  | { readonly kind: 'damaged'; readonly why: string }
  | { readonly kind: 'absent' | 'outside' | 'not_a_file' };

export interface DaySource {
  /** Finds a file by its path inside the day, as a table of the day writes it. */
  readonly find: (path: string) => Promise<Found>;
}

/**
 * A path as written in a day's tables, with forward slashes and without `.` parts; null where it leads out of the
 * day (absolute, a drive, `..`).
 */
export function insidePath(path: string): string | null {
  const slashed = path.replaceAll('\\', '/');
  if (slashed.includes('\0') || isAbsolute(path) || slashed.startsWith('/') || /^[A-Za-z]:/.test(slashed))
    return null;
  const clean = posix.normalize(slashed);
  return clean === '..' || clean.startsWith('../') ? null : clean;
}

/** A day folder on disk. Links are followed only as long as they stay inside the folder. */
export function folderSource(folder: string): DaySource {
  let known: string | null = null;
  return {
    async find(path) {
      const inside = insidePath(path);
      if (inside === null) return { kind: 'outside' };
      const root = (known ??= await realpath(folder));
      let absolute: string;
      try {
        absolute = await realpath(join(root, inside));
      } catch {
        return { kind: 'absent' };
      }
      if (absolute !== root && !absolute.startsWith(root + sep)) return { kind: 'outside' };
      const about = await stat(absolute);
      return about.isFile() ? { kind: 'file', absolute, bytes: about.size } : { kind: 'not_a_file' };
    },
  };
}
