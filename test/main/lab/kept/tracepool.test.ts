/** Traces read by threads: the same as without them, whatever one of them meets; and only so much at a time. */
import { cpSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { traceColumnsOf, type Daybook } from '../../../../core/day/book.ts';
import { handOf } from '../../../../core/trial/input.ts';
import { openDay } from '../../../../main/lab/kept/process.ts';
import { processTrials } from '../../../../main/lab/kept/processday.ts';
import { traceReader } from '../../../../main/lab/kept/tracepool.ts';
import type { TraceOrder } from '../../../../main/lab/kept/tracework.ts';
import { folderSource, type DaySource } from '../../../../main/files/source.ts';
import { SAMPLE } from '../../cli/run.ts';
import { tempFolder } from '../../files/day-builder.ts';

async function opened(source: DaySource): Promise<Daybook> {
  const day = await openDay(source);
  if (!day.ok) throw new Error(day.error.reason);
  return day.value.book;
}

/** The order for the sample's first trace. */
async function goodOrder(): Promise<TraceOrder> {
  const book = await opened(folderSource(SAMPLE));
  const [entry] = book.trials;
  return {
    absolute: join(SAMPLE, entry!.row.trace!),
    file: entry!.row.trace!,
    columns: traceColumnsOf(book.day, entry!.row),
    about: {
      protocol: { filter: book.day.protocol.filter },
      hands: { left: handOf(book, entry!, 'left'), right: handOf(book, entry!, 'right') },
    },
  };
}

it('a thread that fails lets nobody wait, and those left go on', { timeout: 120_000 }, async () => {
  const good = await goodOrder();
  const pool = traceReader(1e9, 2);
  onTestFinished(() => pool.close());
  const fault = { ...good, columns: null } as unknown as TraceOrder;
  await expect(pool.read(fault)).rejects.toThrow(TypeError);
  for (let k = 0; k < 5; k++) expect((await pool.read(good)).ok).toBe(true);
  await expect(pool.read(fault)).rejects.toThrow(TypeError);
  await expect(pool.read(good)).rejects.toThrow('has ended before its time');
});

it('who waits for a pool that is closed is told', { timeout: 120_000 }, async () => {
  const good = await goodOrder();
  const pool = traceReader(1e9, 2);
  const waiting = expect(pool.read(good)).rejects.toThrow('has ended before its time');
  await pool.close();
  await waiting;
});

it('long traces are read one at a time', { timeout: 120_000 }, async () => {
  const folder = join(await tempFolder(), 'day');
  cpSync(SAMPLE, folder, { recursive: true });
  rmSync(join(folder, 'video'), { recursive: true });
  const real = folderSource(folder);
  let found = 0;
  // As if each were a trace of millions of samples.
  const source: DaySource = {
    find: async (path) => {
      const there = await real.find(path);
      if (!path.startsWith('traces/')) return there;
      found++;
      return there.kind === 'file' ? { ...there, bytes: 1 << 26 } : there;
    },
  };
  const book = await opened(source);
  const trials = processTrials(source, book);
  expect((await trials.next()).done).toBe(false);
  // Each was looked at for its size; one was read.
  expect(found).toBe(book.trials.filter(({ row }) => row.trace !== null).length + 1);
  await trials.return(undefined);
});
