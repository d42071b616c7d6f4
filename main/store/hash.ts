/** Reading a file through once: SHA-256 (FIPS 180-4), and a copy of it on the way. */
import { createHash } from 'node:crypto';
import { open, type FileHandle } from 'node:fs/promises';
import { errorCode, StoreFailure } from './errors.ts';

export interface Content {
  /** Lower-case hexadecimal. */
  readonly sha256: string;
  readonly bytes: number;
}

/** Told the bytes of the file read so far. */
export type OnBytes = (bytes: number) => void;

const CHUNK_BYTES = 1 << 20;

/**
 * Reads `path` to its end and hands each piece to `take`. Throws a StoreFailure where it cannot be read, and the
 * signal's reason once that is aborted.
 */
export async function readThrough(
  path: string,
  take: (piece: Uint8Array) => Promise<void> | void,
  signal?: AbortSignal,
  onBytes?: OnBytes,
): Promise<Content> {
  const hash = createHash('sha256');
  const source = await fromSource(path, () => open(path, 'r'));
  let bytes = 0;
  try {
    const buffer = new Uint8Array(CHUNK_BYTES);
    for (;;) {
      signal?.throwIfAborted();
      const { bytesRead } = await fromSource(path, () => source.read(buffer, 0, CHUNK_BYTES));
      if (bytesRead === 0) break;
      const piece = buffer.subarray(0, bytesRead);
      hash.update(piece);
      await take(piece);
      bytes += bytesRead;
      onBytes?.(bytes);
    }
  } finally {
    await source.close();
  }
  return { sha256: hash.digest('hex'), bytes };
}

/** SHA-256 and length of a file. */
export function hashFile(path: string, signal?: AbortSignal, onBytes?: OnBytes): Promise<Content> {
  return readThrough(path, () => undefined, signal, onBytes);
}

/** Writes all of a piece: one write may take less than it is given. */
export async function writeAll(target: FileHandle, piece: Uint8Array): Promise<void> {
  let written = 0;
  while (written < piece.length) {
    written += (await target.write(piece, written, piece.length - written)).bytesWritten;
  }
}

/** Runs a reading step; its failure is told as one of the source, not of the lab folder. */
export async function fromSource<T>(path: string, step: () => Promise<T>): Promise<T> {
  try {
    return await step();
  } catch (caught) {
    const code = errorCode(caught);
    if (code === null) throw caught;
    throw new StoreFailure(unreadable(path, code));
  }
}

export function unreadable(path: string, why: string): StoreFailure['error'] {
  return {
    code: 'source_unreadable',
    says: `The file ${path} could not be read (${why}).`,
    todo: 'Check that the disk or card it lies on is plugged in and that you may read it, then try again.',
  };
}
