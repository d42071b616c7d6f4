/**
 * What a person can cause, or the machine can suffer, around the lab folder: values with a code, a sentence and what
 * to do. Anything else thrown in here is a bug and stays thrown.
 */
import BetterSqlite from 'better-sqlite3';
import { done, failed, type Outcome } from '../../core/base/refusal.ts';

export interface StoreError {
  readonly code:
    | 'wrong_runtime'
    | 'cannot_create'
    | 'not_a_lab_folder'
    | 'read_only'
    | 'foreign_file'
    | 'from_future'
    | 'damaged'
    | 'unsuitable_disk'
    | 'disk_full'
    | 'disk_fault'
    | 'busy'
    | 'changed_meanwhile'
    | 'source_unreadable'
    | 'target_taken'
    | 'backup_unproven';
  /** What is wrong, and where. */
  readonly says: string;
  /** What to do about it. */
  readonly todo: string;
  /** Where a damaged file now stays; present with `damaged` only. */
  readonly keptAt?: string;
}

/** Carries a StoreError out of a transaction, so that it is rolled back; `attempt` turns it into a value again. */
export class StoreFailure extends Error {
  override readonly name = 'StoreFailure';
  readonly error: StoreError;

  constructor(error: StoreError) {
    super(error.says);
    this.error = error;
  }
}

/** Does the work; what a person or the machine can cause comes back as a value, bugs are thrown on. */
export function attempt<T>(folder: string, work: () => T): Outcome<T, StoreError> {
  try {
    return done(work());
  } catch (caught) {
    return failed(asStoreError(caught, folder));
  }
}

/** `attempt` for work that takes its time. */
export async function attemptAsync<T>(
  folder: string,
  work: () => Promise<T>,
): Promise<Outcome<T, StoreError>> {
  try {
    return done(await work());
  } catch (caught) {
    return failed(asStoreError(caught, folder));
  }
}

/** What the lab file's own fault means, where reading it failed outside of `attempt`; null where something else failed. */
export function databaseFault(caught: unknown, folder: string): StoreError | null {
  return caught instanceof BetterSqlite.SqliteError ? errorFor(caught.code, folder) : null;
}

/** The error a person is told of; throws `caught` on where it is none. */
function asStoreError(caught: unknown, folder: string): StoreError {
  if (caught instanceof StoreFailure) return caught.error;
  const code = errorCode(caught);
  const error = code === null ? null : errorFor(code, folder);
  if (error === null) throw caught;
  return error;
}

/** True where SQLite found the file's content itself broken. */
export function isDamage(code: string | null): boolean {
  return code === 'SQLITE_NOTADB' || (code?.startsWith('SQLITE_CORRUPT') ?? false);
}

/** The code SQLite or the operating system gave an error; null where it has none. */
export function errorCode(caught: unknown): string | null {
  if (caught instanceof BetterSqlite.SqliteError) return caught.code;
  if (caught instanceof Error && 'code' in caught && typeof caught.code === 'string') return caught.code;
  return null;
}

const FULL = new Set(['SQLITE_FULL', 'ENOSPC', 'EDQUOT', 'EFBIG']);
const READ_ONLY = new Set(['EROFS', 'EACCES', 'EPERM', 'SQLITE_PERM']);
const FAULT = new Set(['EIO', 'ENODEV', 'ENXIO', 'ESTALE']);

function errorFor(code: string, folder: string): StoreError | null {
  if (FULL.has(code)) {
    return {
      code: 'disk_full',
      says: `There is no room left on the disk of ${folder}; this last step was not recorded.`,
      todo: 'Make room on that disk, then do the step again. Everything recorded before is safe.',
    };
  }
  if (READ_ONLY.has(code) || code.startsWith('SQLITE_READONLY')) return readOnly(folder);
  if (FAULT.has(code) || code.startsWith('SQLITE_IOERR') || code.startsWith('SQLITE_CANTOPEN')) {
    return {
      code: 'disk_fault',
      says: `The disk of ${folder} could not be read or written (${code}).`,
      todo: 'Check that the disk is plugged in and has room, then start again. What was recorded before stays.',
    };
  }
  if (code.startsWith('SQLITE_BUSY') || code.startsWith('SQLITE_LOCKED')) {
    return {
      code: 'busy',
      says: `Another window or program is holding the lab folder ${folder}; this step was not recorded.`,
      todo: 'Wait until it has finished, or close it, then do the step again.',
    };
  }
  if (isDamage(code)) {
    return {
      code: 'damaged',
      says: `The lab file in ${folder} turned out to be damaged while in use; this step was not recorded.`,
      todo: 'Close the program and start it again: the file is then checked and put aside, never deleted.',
    };
  }
  return null;
}

function readOnly(folder: string): StoreError {
  return {
    code: 'read_only',
    says: `The folder ${folder} can be read but not written.`,
    todo: 'Look at it as it is, or allow writing there, or choose another folder.',
  };
}
