/** One running program per lab folder: a file that says who has it open. */
import { mkdir, readFile, rename, rm, writeFile } from 'node:fs/promises';
import { uptime } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { z } from 'zod';

const holder = z.object({
  pid: z.number().int().positive(),
  /** ISO 8601 instant. */
  since: z.iso.datetime(),
  /** Where the running program can be asked for a new link; null where it has a window of its own. */
  door: z.object({ port: z.number().int().min(1).max(65535), key: z.string().min(20) }).nullable(),
});

export type Holder = z.infer<typeof holder>;
export type Door = NonNullable<Holder['door']>;

export type Lock =
  | { readonly kind: 'ours'; readonly release: () => Promise<void> }
  | { readonly kind: 'held'; readonly holder: Holder; readonly file: string };

export const LOCK_FILE = 'open.json';

/** True where the process is still there and the machine has not been started again since. */
export function processLives(by: Holder): boolean {
  // Numbers of processes are used again: a mark with ours was left by one that is gone.
  if (by.pid === process.pid) return false;
  const bootedAt = Date.now() - uptime() * 1000;
  if (Date.parse(by.since) < bootedAt - 5_000) return false;
  try {
    process.kill(by.pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

/**
 * Marks the lab folder `home` as open by this process, creating the folder where it is missing.
 * `lives` decides whether an earlier holder is still there; a dead one's mark is cleared away.
 * Throws the file system's error where the folder cannot be written.
 */
export async function takeLock(
  home: string,
  door: Door | null,
  lives: (by: Holder) => boolean | Promise<boolean> = processLives,
): Promise<Lock> {
  await mkdir(home, { recursive: true });
  const file = join(home, LOCK_FILE);
  const mine = JSON.stringify({ pid: process.pid, since: new Date().toISOString(), door } satisfies Holder);
  let cleared = false;
  for (let attempt = 0; ; attempt++) {
    try {
      // Only the owner may read it: the door's key opens the running program.
      await writeFile(file, mine, { flag: 'wx', mode: 0o600 });
      if (cleared && !(await stays(file, mine))) continue;
      return { kind: 'ours', release: () => release(file, mine) };
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'EEXIST' || attempt === 5) throw error;
    }
    const text = await readSettled(file);
    const by = parse(text);
    if (by !== null && (await lives(by))) return { kind: 'held', holder: by, file };
    if (text !== null) await clear(file, text);
    cleared = true;
  }
}

/** A mark being written by another start is empty for a moment. */
async function readSettled(file: string): Promise<string | null> {
  const text = await readFile(file, 'utf8').catch(() => null);
  if (text === null || parse(text) !== null) return text;
  await wait(200);
  return readFile(file, 'utf8').catch(() => null);
}

function parse(text: string | null): Holder | null {
  if (text === null) return null;
  try {
    return holder.parse(JSON.parse(text));
  } catch {
    return null;
  }
}

/** Moves a dead mark aside first, so that of two starts only one can clear it, and never a fresh one. */
async function clear(file: string, text: string): Promise<void> {
  const aside = `${file}.${process.pid}`;
  try {
    await rename(file, aside);
  } catch {
    return;
  }
  if ((await readFile(aside, 'utf8')) === text) await rm(aside, { force: true });
  else await rename(aside, file);
}

/** Of several starts that clear a dead mark at once, the last to write has it. */
async function stays(file: string, mine: string): Promise<boolean> {
  await wait(100);
  return (await readFile(file, 'utf8').catch(() => null)) === mine;
}

async function release(file: string, mine: string): Promise<void> {
  if ((await readFile(file, 'utf8').catch(() => null)) === mine) await rm(file, { force: true });
}
