/** One running program per lab folder: a file that says who has it open. */
import { constants, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { access, mkdir } from 'node:fs/promises';
import { uptime } from 'node:os';
import { join } from 'node:path';
import { z } from 'zod';
import type { Outcome } from '../../core/base/refusal.ts';
import { StoreFailure, type StoreError } from '../store/errors.ts';
import { exclusively } from '../store/exclusive.ts';

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
/** Whose turn it is to change the mark; always empty. */
export const TURN_FILE = 'open.turn';

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
 * `lives` decides whether an earlier holder is still there; a dead one's mark is replaced. Marks are changed by one
 * process at a time, so that of several starts at once one has the folder.
 * Throws the file system's error where the folder cannot be written, a StoreFailure where it cannot be locked.
 */
export async function takeLock(
  home: string,
  door: Door | null,
  lives: (by: Holder) => boolean | Promise<boolean> = processLives,
): Promise<Lock> {
  await mkdir(home, { recursive: true, mode: 0o700 });
  await access(home, constants.W_OK);
  const file = join(home, LOCK_FILE);
  const mine = JSON.stringify({ pid: process.pid, since: new Date().toISOString(), door } satisfies Holder);
  for (;;) {
    const found = readMark(file);
    const by = parse(found);
    if (by !== null && (await lives(by))) return { kind: 'held', holder: by, file };
    // Between the question and here another start may have put its own mark in place of the dead one.
    const isOurs = changing(home, () => readMark(file) === found && writeMark(file, mine));
    if (!isOurs.ok) throw new StoreFailure(isOurs.error);
    if (isOurs.value) return { kind: 'ours', release: async () => release(home, file, mine) };
  }
}

/** Looks at and changes a mark while no other process does. */
const changing = <T>(home: string, work: () => T): Outcome<T, StoreError> =>
  exclusively(join(home, TURN_FILE), work);

/** Takes one's mark away; one that cannot be taken away is that of a dead process to the next start. */
function release(home: string, file: string, mine: string): void {
  changing(home, () => {
    if (readMark(file) === mine) rmSync(file, { force: true });
  });
}

function readMark(file: string): string | null {
  try {
    return readFileSync(file, 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null;
    throw error;
  }
}

/** Puts a mark in place whole: a reader finds the earlier one or this one, never a part. */
function writeMark(file: string, mine: string): true {
  const written = `${file}.new`;
  rmSync(written, { force: true });
  // Only the owner may read it: the door's key opens the running program.
  writeFileSync(written, mine, { mode: 0o600 });
  renameSync(written, file);
  return true;
}

function parse(text: string | null): Holder | null {
  if (text === null) return null;
  try {
    return holder.parse(JSON.parse(text));
  } catch {
    return null;
  }
}
