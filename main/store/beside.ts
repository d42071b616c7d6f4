/** Lab folders that are made beside their place and take it when they are whole: backups and salvages. */
import { existsSync, mkdtempSync, readdirSync, renameSync, rmdirSync, rmSync, statSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { makeFolder, syncFolder } from './durable.ts';
import { layoutOf } from './layout.ts';
import { isRunning } from './raw.ts';

/** Where a salvage works on copies of the damaged lab file, inside what it makes. */
export const SALVAGE_WORK = 'work';

/** Names of this process's folders that are being made now. */
const inHand = new Set<string>();

/**
 * Makes a folder beside its place, which must be free, and puts it there when it is whole. What a kill leaves of it is
 * cleared away by the next try beside it, and by a start of the program on a lab folder beside it.
 */
export async function buildBeside<T>(target: string, work: (building: string) => Promise<T>): Promise<T> {
  makeFolder(dirname(target));
  sweepUnfinished(target);
  const building = mkdtempSync(`${target}.unfinished-${process.pid}-`);
  inHand.add(basename(building));
  try {
    const made = await work(building);
    if (existsSync(target)) rmdirSync(target);
    renameSync(building, target);
    syncFolder(dirname(target));
    return made;
  } catch (caught) {
    rmSync(building, { recursive: true, force: true });
    throw caught;
  } finally {
    inHand.delete(basename(building));
  }
}

/** Takes away what killed backups and salvages left beside this place: those of processes that are gone. */
export function sweepUnfinished(target: string): void {
  const beside = dirname(target);
  for (const name of readdirSync(beside)) {
    const pid = Number(/\.unfinished-(\d+)-[A-Za-z0-9]{6}$/.exec(name)?.[1] ?? 0);
    const path = join(beside, name);
    // One that was killed at once holds nothing yet, or the work of a salvage.
    const isOurs =
      pid > 0 &&
      (isEmptyFolder(path) || existsSync(layoutOf(path).database) || existsSync(join(path, SALVAGE_WORK)));
    if (isOurs && (pid === process.pid ? !inHand.has(name) : !isRunning(pid)))
      rmSync(join(beside, name), { recursive: true, force: true });
  }
}

export function isEmptyFolder(path: string): boolean {
  return statSync(path).isDirectory() && readdirSync(path).length === 0;
}
