/** Small file operations that have reached the disk by the time they return. */
import { largest } from '../../core/base/extent.ts';
import { closeSync, existsSync, fsyncSync, mkdirSync, openSync, readdirSync } from 'node:fs';
import { dirname, join } from 'node:path';

/** Makes what was created or renamed in a folder last. Windows has no such call: it records names by itself. */
export function syncFolder(folder: string): void {
  if (process.platform !== 'win32') syncPath(folder, 'r');
}

export function syncFile(path: string, flags: 'r' | 'r+' = 'r+'): void {
  syncPath(path, flags);
}

function syncPath(path: string, flags: string): void {
  const handle = openSync(path, flags);
  try {
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

/** Makes a folder and the ones above it, each recorded in the folder that holds it. */
export function makeFolder(folder: string): void {
  if (existsSync(folder)) return;
  const above = dirname(folder);
  makeFolder(above);
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  syncFolder(above);
}

/** A new folder `parent/1`, `parent/2`, …: the first number that is free. */
export function makeNumberedFolder(parent: string): string {
  makeFolder(parent);
  const taken = readdirSync(parent).map(Number).filter(Number.isInteger);
  const folder = join(parent, String(Math.max(0, largest(taken)) + 1));
  makeFolder(folder);
  return folder;
}
