/** Whether a file that came is an earlier one gone on: a writer that paused was taken for one that was done. */
import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import type { KeptArrival } from '../../store/arrivals.ts';
import type { Session } from '../kept/session.ts';

/**
 * The longest earlier arrival of the same name and day that a content begins with; null where there is none. An aborted
 * signal rejects with its reason.
 */
export async function continuedBy(
  store: Session['store'],
  { day, name, bytes, sha256 }: Pick<KeptArrival, 'day' | 'name' | 'bytes'> & { readonly sha256: string },
  signal: AbortSignal,
): Promise<number | null> {
  const earlier = store
    .arrivals(day)
    .filter((row) => row.name === name && row.sha256 !== null && row.bytes < bytes)
    .toSorted((a, b) => b.bytes - a.bytes);
  const lengths = [...new Set(earlier.map((row) => row.bytes))].toReversed();
  const begins = await hashBeginnings(store.rawPath(sha256), lengths, signal);
  return earlier.find((row) => begins.get(row.bytes) === row.sha256)?.id ?? null;
}

/** SHA-256 of the first bytes of a file, for each of some lengths; those increase. */
async function hashBeginnings(
  path: string,
  lengths: readonly number[],
  signal: AbortSignal,
): Promise<ReadonlyMap<number, string>> {
  const found = new Map<number, string>();
  const longest = lengths.at(-1);
  if (longest === undefined) return found;
  const hash = createHash('sha256');
  let read = 0;
  for await (const chunk of createReadStream(path, { end: longest - 1, highWaterMark: 1 << 20 })) {
    signal.throwIfAborted();
    const piece = chunk as Uint8Array;
    let used = 0;
    for (const length of lengths.filter((one) => one > read && one <= read + piece.length)) {
      hash.update(piece.subarray(used, length - read));
      used = length - read;
      found.set(length, hash.copy().digest('hex'));
    }
    hash.update(piece.subarray(used));
    read += piece.length;
  }
  return found;
}
