/** Damaged files are put aside whole and never deleted: what is in them may yet be got back. */
import { copyFileSync, existsSync, readdirSync, renameSync } from 'node:fs';
import { basename, join } from 'node:path';
import { makeNumberedFolder, syncFolder } from './durable.ts';
import type { StoreError } from './errors.ts';
import type { Layout } from './layout.ts';

/** Puts the database aside, with the log beside it, and says where it now stays. */
export function quarantineDatabase(layout: Layout, damage: string): StoreError {
  const folder = makeNumberedFolder(layout.quarantine);
  const log = `${layout.database}-wal`;
  // The log is copied first: were we stopped between two moves, the database must not be parted from it.
  if (existsSync(log)) copyFileSync(log, join(folder, basename(log)));
  moveInto(folder, layout.database);
  for (const part of [log, `${layout.database}-shm`]) if (existsSync(part)) moveInto(folder, part);
  syncFolder(folder);
  syncFolder(layout.folder);
  return {
    code: 'damaged',
    says: `The lab file was damaged (${damage}). It is kept whole in ${folder}; the raw files were not touched.`,
    todo: `To go on, copy lab.sqlite from a backup into ${layout.folder}, or start again with an empty list of days and open the day folders anew.`,
    keptAt: folder,
  };
}

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
