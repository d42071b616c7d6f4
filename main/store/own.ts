/**
 * A lab folder is the lab's own: folders for their owner alone (700), files too (600, raw files 400), whatever the umask.
 * Where a file system or a platform knows no such modes it is told, and nothing else changes.
 */
import { chmodSync, lstatSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { errorCode } from './errors.ts';

/** Modes of a lab folder: its folders, its files, its raw files. */
export const OWN = { folder: 0o700, file: 0o600, raw: 0o400 } as const;

/** Makes the folder its owner's alone, and where it was open before everything in it too, as far as its disk can. */
export function makeOwn(folder: string): void {
  if (process.platform === 'win32' || !isOpen(folder)) return;
  try {
    chmodSync(folder, OWN.folder);
    if (!isOpen(folder)) shutBelow(folder);
  } catch (caught) {
    if (errorCode(caught) === null) throw caught;
  }
}

/** A sentence where others of the machine may be able to read the lab folder; null where they cannot, or nothing tells. */
export function openToOthers(folder: string): string | null {
  return process.platform !== 'win32' && isOpen(folder) ? notOwn(folder) : null;
}

/** True where others of the machine may look into it. */
function isOpen(path: string): boolean {
  return (statSync(path).mode & 0o077) !== 0;
}

function shutBelow(folder: string): void {
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    if (entry.isSymbolicLink()) continue;
    const { mode } = lstatSync(path);
    if ((mode & 0o077) !== 0) chmodSync(path, mode & 0o700);
    if (entry.isDirectory()) shutBelow(path);
  }
}

function notOwn(folder: string): string {
  return `Other users of this computer may be able to read the lab folder ${folder}: its disk does not keep it to its owner.`;
}
