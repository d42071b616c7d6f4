/** Every file below a folder of recordings, in an order that no machine changes. */
import { constants } from 'node:fs';
import { access, readdir, realpath, stat } from 'node:fs/promises';
import { join, sep } from 'node:path';

export interface FoundFile {
  /** Below the folder, with forward slashes. */
  readonly path: string;
  readonly bytes: number;
  readonly modifiedMs: number;
  /** Why it cannot be read, as the end of a sentence that begins with its name; null where it can. */
  readonly fault: string | null;
}

/** Files that an archive may hold: more than a lab records in its life. */
const MOST_FILES = 200_000;

/**
 * Lists the files below a folder by path. Links are followed to files inside the folder only, never to folders, which
 * could lead round in a circle. Rejects with the machine's error where the folder itself cannot be read.
 */
export async function listArchive(folder: string, signal?: AbortSignal): Promise<readonly FoundFile[]> {
  const root = await realpath(folder);
  const found: FoundFile[] = [];
  const walk = async (below: string): Promise<void> => {
    signal?.throwIfAborted();
    const entries = await readdir(join(root, below), { withFileTypes: true });
    for (const entry of entries) {
      const path = below === '' ? entry.name : `${below}/${entry.name}`;
      if (found.length >= MOST_FILES) return;
      if (entry.isDirectory()) {
        try {
          await walk(path);
        } catch (error) {
          found.push({
            path,
            bytes: 0,
            modifiedMs: 0,
            fault: `is a folder that cannot be read (${codeOf(error)})`,
          });
        }
      } else found.push(await lookAt(root, path, entry.isFile()));
    }
  };
  await walk('');
  return found.toSorted((a, b) => (a.path < b.path ? -1 : 1));
}

function codeOf(error: unknown): string {
  const { code } = error as NodeJS.ErrnoException;
  if (code === undefined) throw error;
  return code;
}

async function lookAt(root: string, path: string, isPlain: boolean): Promise<FoundFile> {
  const bare = { path, bytes: 0, modifiedMs: 0 };
  try {
    const absolute = isPlain ? join(root, path) : await realpath(join(root, path));
    if (!absolute.startsWith(root + sep)) return { ...bare, fault: 'is a link that leads out of the folder' };
    const about = await stat(absolute);
    if (!about.isFile()) return { ...bare, fault: 'is no file' };
    await access(absolute, constants.R_OK);
    return { path, bytes: about.size, modifiedMs: about.mtimeMs, fault: null };
  } catch (error) {
    return { ...bare, fault: `cannot be read (${codeOf(error)})` };
  }
}
