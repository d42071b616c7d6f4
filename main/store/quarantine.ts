/** Damaged files are put aside whole and never deleted: what is in them may yet be got back. */
import { existsSync, readdirSync, renameSync } from 'node:fs';
import { basename, join } from 'node:path';
import { makeNumberedFolder, syncFolder } from './durable.ts';
import type { Layout } from './layout.ts';

/** Puts one file aside; gives the folder it is in. */
export function quarantineFile(layout: Layout, path: string): string {
  const folder = makeNumberedFolder(layout.quarantine);
  moveInto(folder, path);
  syncFolder(folder);
  return folder;
}

/** The folders in which damaged files stay. */
export function quarantined(layout: Layout): string[] {
  if (!existsSync(layout.quarantine)) return [];
  return readdirSync(layout.quarantine).map((name) => join(layout.quarantine, name));
}

function moveInto(folder: string, path: string): void {
  renameSync(path, join(folder, basename(path)));
}
