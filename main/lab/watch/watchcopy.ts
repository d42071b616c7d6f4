/** Taking one file of a watched folder into the lab: copied, looked at again, read, recorded. */
import { open } from 'node:fs/promises';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import type { ArrivalToAdd, KeptArrival } from '../../store/arrivals.ts';
import { attemptAsync } from '../../store/errors.ts';
import { now, operatorOf, type Session } from '../kept/session.ts';
import { continuedBy } from './watchcontinued.ts';
import { isSame, see, type Seen } from './watchlisting.ts';

/**
 * Says why a file that was copied cannot be used, in one sentence; null where it can. `path` is that of the copy,
 * `name` the one it came under.
 */
export type Readable = (
  path: string,
  name: string,
  kind: 'trace' | 'film',
  day: number,
) => Promise<string | null>;

export interface FileToTake {
  readonly day: number;
  /** Real path of the watched folder. */
  readonly folder: string;
  readonly seen: Seen;
  readonly kind: ArrivalToAdd['kind'];
}

/** `changed`: it was written to meanwhile, or is gone. */
export type Taking = 'taken' | 'changed';

/**
 * Takes a file. It is recorded once its content is on the disk, and not at all where it changed while it was copied;
 * the failure is a sentence why to try again later. An aborted signal rejects with its reason and leaves nothing.
 */
export async function takeFile(
  session: Session,
  readable: Readable,
  file: FileToTake,
  signal: AbortSignal,
  onBytes: (bytes: number) => void,
): Promise<Outcome<Taking, string>> {
  const { store } = session;
  const taken = await attemptAsync(store.folder, () => take(session, readable, file, signal, onBytes));
  return taken.ok ? taken.value : failed(`${taken.error.says} ${taken.error.todo}`);
}

async function take(
  session: Session,
  readable: Readable,
  file: FileToTake,
  signal: AbortSignal,
  onBytes: (bytes: number) => void,
): Promise<Outcome<Taking, string>> {
  const { store } = session;
  const { folder, seen } = file;
  const look = () => see(folder, seen.name);
  if (!isSame(seen, await look())) return done('changed');
  const locked = await lockedBy(seen.path);
  if (locked !== null)
    return failed(
      `${seen.name} cannot be opened (${locked}); the program that writes it may still hold it. It is tried again.`,
    );
  const copied = await store.addRaw(seen.path, signal, onBytes);
  if (!copied.ok) return failed(`${copied.error.says} ${copied.error.todo}`);
  const { sha256, bytes } = copied.value;
  let recorded = false;
  try {
    if (bytes !== seen.bytes || !isSame(seen, await look())) return done('changed');
    const fault = await faultOf(session, readable, file, sha256);
    const continues = await continuedBy(store, { day: file.day, name: seen.name, bytes, sha256 }, signal);
    signal.throwIfAborted();
    const added = store.addArrival({
      ...rowOf(session, file),
      sha256,
      continues,
      ...outcomeOf(session, file, sha256, fault),
    });
    recorded = added.ok;
    return added.ok ? done('taken') : failed(`${added.error.says} ${added.error.todo}`);
  } finally {
    if (!recorded) store.dropRaw(sha256);
  }
}

/** What the row of a file says besides what came of it. */
export function rowOf(
  session: Session,
  { day, seen, kind }: Pick<FileToTake, 'day' | 'seen' | 'kind'>,
): Omit<ArrivalToAdd, 'sha256' | 'outcome' | 'reason' | 'continues'> {
  const { name, bytes } = seen;
  return { day, name, bytes, modified: modifiedOf(seen), kind, at: now(), who: operatorOf(session) };
}

/** Some disks tell of moments that no calendar of ours holds. */
const LAST_MS = Date.UTC(9999, 11, 31, 23, 59, 59, 999);

/** When a file was last written, to the millisecond; ISO 8601. */
export function modifiedOf({ modifiedMs }: Pick<Seen, 'modifiedMs'>): string {
  return new Date(Math.min(Math.max(modifiedMs, 0), LAST_MS)).toISOString();
}

/** Why the operating system does not let a file be read; null where it does. */
async function lockedBy(path: string): Promise<string | null> {
  try {
    await (await open(path, 'r')).close();
    return null;
  } catch (caught) {
    const { code } = caught as NodeJS.ErrnoException;
    if (code === undefined) throw caught;
    return code;
  }
}

async function faultOf(
  session: Session,
  readable: Readable,
  { day, seen, kind }: FileToTake,
  sha256: string,
): Promise<string | null> {
  if (session.store.takenArrival(day, sha256) !== null) return null;
  if (kind === 'other')
    return `${seen.name} is neither a trace (.csv, .tsv, .txt) nor a film (.mp4, .m4v, .mov, .webm) by its ending; it is kept as it is.`;
  return readable(session.store.rawPath(sha256), seen.name, kind, day);
}

function outcomeOf(
  { store }: Session,
  { day, seen }: FileToTake,
  sha256: string,
  fault: string | null,
): Pick<ArrivalToAdd, 'outcome' | 'reason'> {
  const first = store.takenArrival(day, sha256);
  if (first !== null)
    return {
      outcome: 'twice',
      reason: `${seen.name} has the content of ${first.name}, which came ${whenOf(first)}.`,
    };
  return fault === null ? { outcome: 'taken', reason: '' } : { outcome: 'unreadable', reason: fault };
}

function whenOf({ at }: KeptArrival): string {
  return `on ${at.slice(0, 10)} at ${at.slice(11, 16)} UTC`;
}
