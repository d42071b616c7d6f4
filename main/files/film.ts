/**
 * Frame times of a film, read in a worker so that nothing waits for it: it is ended where a file takes too long or too
 * much memory, or where nobody wants the film any more.
 */
import { stat } from 'node:fs/promises';
import { Worker } from 'node:worker_threads';
import { failed, type Outcome } from '../../core/base/refusal.ts';
import type { Film } from './filmframes.ts';

export type { Film } from './filmframes.ts';

/** What reading may take: a whole film takes a second or two even where the machine is busy. */
const LEAST_MS = 20_000;
const MS_PER_BYTE = 1000 / 20e6;
const MOST_MIB = 512;

/** Built, the worker stands beside the program; else the source runs as it is. */
const WORKER = new URL(
  import.meta.url.endsWith('.ts') ? './filmworker.ts' : './filmworker.js',
  import.meta.url,
);

let idle: Worker | null = null;
/** Films are read one after the other. */
let latest: Promise<unknown> = Promise.resolve();

/**
 * Reads a film's frame times; fails with the end of a sentence that begins with the file's name. An aborted signal
 * rejects with its reason.
 * @param allowedMs how long it may take, ms; follows from the file's size where it is left out
 */
export function readFilm(
  absolute: string,
  signal?: AbortSignal,
  allowedMs?: number,
): Promise<Outcome<Film, string>> {
  const reading = latest.then(async () => {
    signal?.throwIfAborted();
    return readNow(absolute, signal, allowedMs ?? LEAST_MS + (await bytesOf(absolute)) * MS_PER_BYTE);
  });
  latest = reading.catch(() => undefined);
  return reading;
}

async function bytesOf(absolute: string): Promise<number> {
  try {
    return (await stat(absolute)).size;
  } catch {
    return 0;
  }
}

function readNow(
  absolute: string,
  signal: AbortSignal | undefined,
  allowedMs: number,
): Promise<Outcome<Film, string>> {
  const worker = idle ?? new Worker(WORKER, { resourceLimits: { maxOldGenerationSizeMb: MOST_MIB } });
  idle = null;
  worker.ref();
  return new Promise((resolve, reject) => {
    const over = () => {
      clearTimeout(timer);
      signal?.removeEventListener('abort', onAbort);
      worker.off('message', onMessage);
      worker.off('error', onError);
    };
    const end = (settle: () => void) => {
      over();
      // What it still says while it is being ended concerns nobody.
      worker.on('error', () => undefined);
      void worker.terminate();
      settle();
    };
    const onAbort = () => end(() => reject(signal!.reason));
    const onMessage = (outcome: Outcome<Film, string>) => {
      over();
      worker.unref();
      idle = worker;
      resolve(outcome);
    };
    const onError = (error: NodeJS.ErrnoException) =>
      end(() => {
        if (error.code === 'ERR_WORKER_OUT_OF_MEMORY') resolve(failed(tooMuch(`${MOST_MIB} MiB of memory`)));
        else reject(error);
      });
    const timer = setTimeout(
      () => end(() => resolve(failed(tooMuch(`${Math.round(allowedMs / 1000)} s`)))),
      allowedMs,
    );
    signal?.addEventListener('abort', onAbort, { once: true });
    worker.on('message', onMessage);
    worker.on('error', onError);
    worker.postMessage(absolute);
  });
}

function tooMuch(what: string): string {
  return `takes more than ${what} to read, and a film of its size takes far less; it is damaged: copy it again from the camera`;
}
