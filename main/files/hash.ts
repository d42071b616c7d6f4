import { createHash } from 'node:crypto';
import { open } from 'node:fs/promises';

/** Read at a time, bytes. */
const PIECE = 1 << 20;

/** SHA-256 of a file, as lower-case hexadecimal digits; an aborted signal rejects with its reason between two pieces. */
export async function sha256OfFile(path: string, signal?: AbortSignal): Promise<string> {
  const hash = createHash('sha256');
  const handle = await open(path, 'r');
  try {
    // A buffer as large as the file, where that is small: of many small files none then waits for memory.
    const piece = Buffer.allocUnsafe(Math.min(PIECE, (await handle.stat()).size + 1));
    for (;;) {
      signal?.throwIfAborted();
      const { bytesRead } = await handle.read(piece, 0, piece.length);
      if (bytesRead === 0) return hash.digest('hex');
      hash.update(piece.subarray(0, bytesRead));
    }
  } finally {
    await handle.close();
  }
}
