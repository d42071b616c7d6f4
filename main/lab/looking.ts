/** A lab folder that can only be looked at takes no mark of who has it open, and holds nothing of the window's own. */
import { accessSync, constants, existsSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { takeLock, type Lock } from './lock.ts';

const READ_ONLY = new Set(['EROFS', 'EACCES', 'EPERM']);

/** {@link takeLock}; where the folder holds a lab and cannot be written, any number may look at it. */
export async function takeLockOrLook(...given: Parameters<typeof takeLock>): Promise<Lock> {
  try {
    return await takeLock(...given);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? '';
    if (!READ_ONLY.has(code) || !existsSync(join(given[0], 'lab.sqlite'))) throw error;
    return { kind: 'ours', release: () => Promise.resolve() };
  }
}

/** Where a window keeps what is its own: a folder of the lab folder; elsewhere where that cannot be written. */
export function windowPlace(home: string, name: string): string {
  try {
    accessSync(home, constants.W_OK);
    return join(home, name);
  } catch {
    return mkdtempSync(join(tmpdir(), `lanebench-${name}-`));
  }
}
