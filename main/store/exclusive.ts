/** Work that one process at a time may do, however many are started and however they end. */
import { dirname } from 'node:path';
import { connectTo } from './connection.ts';
import type { Outcome } from '../../core/base/refusal.ts';
import { attempt, type StoreError } from './errors.ts';
import { requireNodeApi } from './examine.ts';

/** How long one waits for the others, ms; each needs the time of a few small file operations. */
const WAIT_MS = 30_000;

/**
 * Does `work` while no other process is in `exclusively` with the same file. SQLite asks the operating system for the
 * file's lock, which ends with its process, so that none is ever left behind. The file is empty, made where it is
 * missing, and stays: taken away, two processes could each lock one of that name.
 */
export function exclusively<T>(file: string, work: () => T): Outcome<T, StoreError> {
  return attempt(dirname(file), () => {
    requireNodeApi(process.versions['napi']);
    const connection = connectTo(file, { timeout: WAIT_MS });
    try {
      connection.exec('BEGIN EXCLUSIVE');
      return work();
    } finally {
      connection.close();
    }
  });
}
