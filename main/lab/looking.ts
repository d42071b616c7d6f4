/** A lab folder that can only be looked at takes no mark of who has it open. */
import { existsSync } from 'node:fs';
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
