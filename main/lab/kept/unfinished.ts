/**
 * What is written outside the lab folder is built beside its place. While that lasts a word of it lies in the lab folder,
 * by which the next start finds what a program that was killed has left there, and clears it away.
 */
import { randomUUID } from 'node:crypto';
import { existsSync } from 'node:fs';
import { mkdir, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { z } from 'zod';
import { recover } from '../../files/outfolder.ts';
import { sweepUnfinished } from '../../store/beside.ts';
import { isRunning } from '../../store/raw.ts';
import type { Session } from './session.ts';

const FOLDER = 'writing';

const word = z.object({
  kind: z.enum(['folder', 'backup']),
  /** The place that is written to, an absolute path. */
  out: z.string().min(1),
  pid: z.number().int().positive(),
});

/** Words of this process's work under way. */
const inHand = new Set<string>();

/** Does work that writes to `out`; what a kill leaves of it is found at the next start. */
export async function rememberedWhile<T>(
  { store }: Session,
  kind: 'folder' | 'backup',
  out: string,
  work: () => Promise<T>,
): Promise<T> {
  const name = `${randomUUID()}.json`;
  const file = join(store.folder, FOLDER, name);
  inHand.add(name);
  try {
    // A lab folder that is only looked at cannot remember it; the next try in the same place clears up all the same.
    if (store.readOnly === null) {
      await mkdir(dirname(file), { recursive: true, mode: 0o700 });
      await writeFile(file, JSON.stringify({ kind, out, pid: process.pid }), { flush: true, mode: 0o600 });
    }
    return await work();
  } finally {
    await rm(file, { force: true });
    inHand.delete(name);
  }
}

/** Clears away what programs that are gone left beside the places they wrote to; what cannot be reached now waits. */
export async function clearUnfinished({ store }: Session): Promise<void> {
  if (store.readOnly !== null) return;
  // A salvage knows no lab folder to leave a word in: what it makes lies beside one that will be.
  sweepUnfinished(store.folder);
  const folder = join(store.folder, FOLDER);
  for (const name of await readdir(folder).catch(() => [])) {
    const file = join(folder, name);
    const left = await readWord(file);
    if (left !== null) {
      const { kind, out, pid } = left;
      if (pid === process.pid ? inHand.has(name) : isRunning(pid)) continue;
      if (!existsSync(dirname(out))) continue;
      try {
        if (kind === 'backup') sweepUnfinished(out);
        else await recover(out);
      } catch {
        continue;
      }
    }
    await rm(file, { force: true });
  }
}

/** Null for one that was cut while being written: nothing had been begun. */
async function readWord(file: string): Promise<z.infer<typeof word> | null> {
  try {
    return word.parse(JSON.parse(await readFile(file, 'utf8')));
  } catch {
    return null;
  }
}
