/** A new lab folder from whatever can be read of a damaged one. The damaged one is left as it is. */
import { addAll } from '../../core/base/extent.ts';
import { chmodSync, copyFileSync, existsSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { chmod, copyFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { Outcome } from '../../core/base/refusal.ts';
import { buildBeside, SALVAGE_WORK } from './beside.ts';
import { makeFolder, syncFile } from './durable.ts';
import { attemptAsync, StoreFailure, type StoreError } from './errors.ts';
import { hashFile } from './hash.ts';
import { contentPath, contents, layoutOf, type Layout } from './layout.ts';
import { MIGRATIONS } from './migrations.ts';
import { OWN } from './own.ts';
import { REPORT_FILE } from './report.ts';
import { salvageDatabase, type Salvaged } from './salvage.ts';
import { openStore } from './store.ts';

export interface SalvagedLab {
  readonly folder: string;
  readonly days: number;
  readonly rawFiles: number;
  /** What was lost or had to be changed, one sentence each. */
  readonly says: readonly string[];
}

/** `to` must not exist or be an empty folder; it appears whole or not at all. */
export function salvageLab(
  from: string,
  to: string,
  onFile: (done: number, total: number) => void = () => undefined,
): Promise<Outcome<SalvagedLab, StoreError>> {
  return attemptAsync(dirname(to), async () => {
    if (existsSync(to) && readdirSync(to).length > 0)
      throw new StoreFailure({
        code: 'target_taken',
        says: `There is something at ${to} already; nothing is written over.`,
        todo: 'Give the name of a new folder, or of an empty one.',
      });
    const made = await buildBeside(to, (building) => build(layoutOf(from), layoutOf(building), onFile));
    return { ...made, folder: to };
  });
}

async function build(
  from: Layout,
  to: Layout,
  onFile: (done: number, total: number) => void,
): Promise<Omit<SalvagedLab, 'folder'>> {
  const says: string[] = [];
  const database = salvageAny(from, to, says);
  if (database === null)
    throw new StoreFailure({
      code: 'damaged',
      says: `Nothing of the lab file of ${from.folder}, nor of copies of it there, can be read.`,
      todo: 'Open a backup of the lab folder. The raw files under raw/ are still there: they are named by their SHA-256.',
    });
  addAll(says, database.says);
  const rawFiles = await copyRaw(from, to, says, onFile);
  const opened = openStore(to.folder);
  if (!opened.ok) throw new StoreFailure(opened.error);
  const store = opened.value;
  const days = store.listDays().length;
  const missing = (await store.checkIntegrity()).missingRaw;
  for (const sha256 of missing) {
    const names = store.rawNames(sha256).join('; ');
    says.push(`The raw file ${sha256.slice(0, 12)}… (${names}) is not in the new lab folder.`);
  }
  store.close();
  const report = join(to.folder, REPORT_FILE);
  const rows = [...database.rows].map(([table, count]) => `${table}: ${count} rows`);
  writeFileSync(
    report,
    [
      `Salvaged from ${from.folder}`,
      '',
      ...(says.length === 0 ? ['Nothing was lost.'] : says),
      '',
      ...rows,
      '',
    ].join('\n'),
  );
  syncFile(report);
  return { days, rawFiles, says };
}

/** The lab file itself, else the newest copy of one that lies in the folder. */
function salvageAny(from: Layout, to: Layout, says: string[]): Salvaged | null {
  const work = join(to.folder, SALVAGE_WORK);
  mkdirSync(work);
  try {
    for (const [index, path] of [from.database, ...copiesIn(from)].entries()) {
      if (!existsSync(path)) continue;
      const copy = join(work, `${index}.sqlite`);
      for (const part of ['', '-wal'])
        if (existsSync(path + part)) {
          copyFileSync(path + part, copy + part);
          chmodSync(copy + part, OWN.file);
        }
      rmSync(to.database, { force: true });
      const made = salvageDatabase(copy, to.database, MIGRATIONS);
      if (made === null) continue;
      if (index > 0) says.push(`The lab file itself could not be read; an earlier copy of it was: ${path}.`);
      return made;
    }
    return null;
  } finally {
    rmSync(work, { recursive: true, force: true });
  }
}

/** Copies of the lab file that were put aside or kept before a change, newest first. */
function copiesIn(from: Layout): string[] {
  return [from.quarantine, from.beforeRepair, from.beforeUpgrade].flatMap((folder) =>
    existsSync(folder)
      ? readdirSync(folder)
          .map(Number)
          .filter(Number.isInteger)
          .toSorted((a, b) => b - a)
          .map((number) => join(folder, String(number), 'lab.sqlite'))
      : [],
  );
}

/** Raw files that are what their name says; the others stay where they are, and are told. */
async function copyRaw(
  from: Layout,
  to: Layout,
  says: string[],
  onFile: (done: number, total: number) => void,
): Promise<number> {
  const found = existsSync(from.raw) ? contents(from.raw) : [];
  let count = 0;
  for (const [index, { sha256, path }] of found.entries()) {
    onFile(index, found.length);
    const place = contentPath(to.raw, sha256);
    try {
      makeFolder(dirname(place));
      await copyFile(path, place);
      const copy = await hashFile(place);
      if (copy.sha256 === sha256) {
        await chmod(place, OWN.raw);
        syncFile(place, 'r');
        count += 1;
        continue;
      }
      says.push(
        `The raw file ${sha256.slice(0, 12)}… is damaged; it was not taken along and stays at ${path}.`,
      );
    } catch (caught) {
      says.push(
        `The raw file ${sha256.slice(0, 12)}… could not be read (${(caught as Error).message}); it stays at ${path}.`,
      );
    }
    rmSync(place, { force: true });
  }
  return count;
}
