/** Traces read by several threads, as many as the machine has to spare and the work is worth. */
import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import { addAll } from '../../../core/base/extent.ts';
import type { TraceMessage } from './traceworker.ts';
import { giveSeries } from '../../../core/base/series.ts';
import {
  answerTrace,
  memoryOf,
  type TraceAnswer,
  type TraceMemory,
  type TraceOrder,
  type TraceReader,
} from './tracework.ts';

/** A thread takes some hundredths of a second to start: so many bytes of traces each must have to read, to be worth it. */
const WORTH_BYTES = 8_000_000;
/** Threads beyond these would wait for the one that computes what marks need. */
const MOST_THREADS = 6;
/** Orders that a thread has at a time: one that it computes, and one whose bytes are on their way. */
const EACH = 2;

/** Built, the worker stands beside the program; else the source runs as it is. */
const WORKER = new URL(
  import.meta.url.endsWith('.ts') ? './traceworker.ts' : './traceworker.js',
  import.meta.url,
);

/** A reader for so many bytes of traces: threads where it is worth it, this one alone where not. */
export function traceReader(bytes: number, cores = availableParallelism()): TraceReader {
  const threads = Math.min(cores, MOST_THREADS, Math.floor(bytes / WORTH_BYTES));
  return threads < 2 ? HERE : new TracePool(threads);
}

function ended(): Error {
  return new Error('A thread that reads traces has ended before its time.');
}

const HERE: TraceReader = {
  read: answerTrace,
  letGo: (answer) => memoryOf(answer).forEach(giveSeries),
  ahead: 1,
  close: () => Promise.resolve(),
};

interface Waiting {
  readonly worker: Worker;
  readonly resolve: (answer: TraceAnswer) => void;
  readonly reject: (error: unknown) => void;
}

class TracePool implements TraceReader {
  readonly ahead: number;
  private readonly load = new Map<Worker, number>();
  private readonly waiting = new Map<number, Waiting>();
  private orders = 0;
  private spare: ArrayBuffer[] = [];

  constructor(threads: number) {
    this.ahead = threads * EACH;
    for (let k = 0; k < threads; k++) {
      const worker = new Worker(WORKER);
      this.load.set(worker, 0);
      worker.on('message', ({ number, answer }: { readonly number: number; readonly answer: TraceAnswer }) =>
        this.settle(number, (own) => own.resolve(answer)),
      );
      worker.on('error', (error) => this.lose(worker, error));
      worker.on('exit', () => this.lose(worker, ended()));
    }
  }

  read(order: TraceOrder): Promise<TraceAnswer> {
    if (this.load.size === 0) return Promise.reject(ended());
    const number = this.orders++;
    const [worker, load] = [...this.load].reduce((least, other) => (other[1] < least[1] ? other : least));
    this.load.set(worker, load + 1);
    return new Promise((resolve, reject) => {
      this.waiting.set(number, { worker, resolve, reject });
      const { spare } = this;
      this.spare = [];
      worker.postMessage({ number, order, spare } satisfies TraceMessage, spare);
    });
  }

  letGo(answer: TraceMemory): void {
    addAll(this.spare, memoryOf(answer));
  }

  /** Gives a thread no more to do, and lets nobody wait for what it had. */
  private lose(worker: Worker, error: unknown): void {
    for (const [number, own] of this.waiting)
      if (own.worker === worker) this.settle(number, () => own.reject(error));
    this.load.delete(worker);
  }

  private settle(number: number, how: (own: Waiting) => void): void {
    const own = this.waiting.get(number);
    if (own === undefined) return;
    this.waiting.delete(number);
    this.load.set(own.worker, this.load.get(own.worker)! - 1);
    how(own);
  }

  async close(): Promise<void> {
    await Promise.all([...this.load.keys()].map((worker) => worker.terminate()));
  }
}
