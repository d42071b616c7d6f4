/**
 * The main job without a window: every trial of a day computed, in the order of trials.csv. Traces are read ahead by
 * threads where there is enough to do; a few trials are in memory at a time, however many there are.
 */
import { addAll } from '../../../core/base/extent.ts';
import type { Refusal } from '../../../core/base/refusal.ts';
import type { TrialRow } from '../../../core/dataset/trialfields.ts';
import type { Daybook } from '../../../core/day/book.ts';
import { analyseTrial } from '../../../core/trial/trial.ts';
import type { DaySource } from '../../files/source.ts';
import { inputOf, readTrialFiles, type OpenedDay, type TrialReading, type UsedFile } from './process.ts';
import { traceReader } from './tracepool.ts';

/** So many bytes of traces are read at a time besides the trial that comes next; a sample takes many times its text. */
const MOST_AHEAD_BYTES = 1 << 25;

/** A trial that was computed, and what of its files was used and refused. */
export interface ProcessedTrial {
  readonly record: TrialRow;
  readonly refused: readonly Refusal[];
  readonly used: readonly UsedFile[];
}

/** Computes the trials of an opened day, one after the other. */
export async function* processTrials(source: DaySource, book: Daybook): AsyncGenerator<ProcessedTrial> {
  const sizes = await traceSizes(source, book);
  const reader = traceReader(sizes.reduce((sum, bytes) => sum + bytes, 0));
  try {
    const coming: Promise<TrialReading>[] = [];
    let begun = 0;
    let bytesAhead = 0;
    for (const [at, entry] of book.trials.entries()) {
      for (; coming.length < reader.ahead && begun < book.trials.length; begun++) {
        if (coming.length > 0 && bytesAhead + sizes[begun]! > MOST_AHEAD_BYTES) break;
        bytesAhead += sizes[begun]!;
        const reading = readTrialFiles(source, book, book.trials[begun]!, (order) => reader.read(order));
        // Whoever waits for it is told; one that nobody comes to wait for concerns nobody.
        reading.catch(() => undefined);
        coming.push(reading);
      }
      const reading = await coming.shift()!;
      bytesAhead -= sizes[at]!;
      const { input, refused } = inputOf(book, entry, reading);
      const result = analyseTrial(input, reading.series ?? undefined);
      // A result holds numbers; of the samples that they came from nothing is needed any more.
      reader.letGo(reading);
      yield { record: { entry, result }, refused: [...reading.refused, ...refused], used: reading.used };
    }
  } finally {
    await reader.close();
  }
}

/** How many bytes the trace of each trial holds; 0 where it has none that can be read. */
async function traceSizes(source: DaySource, { trials }: Daybook): Promise<readonly number[]> {
  const sizes: number[] = [];
  for (const { row } of trials) {
    const found = row.trace === null ? null : await source.find(row.trace);
    sizes.push(found?.kind === 'file' ? found.bytes : 0);
  }
  return sizes;
}

export interface ProcessedDay {
  readonly opened: OpenedDay;
  readonly records: readonly TrialRow[];
  readonly refused: readonly Refusal[];
  readonly used: readonly UsedFile[];
}

/** Computes every trial of an opened day, and keeps all of it. */
export async function processDay(source: DaySource, opened: OpenedDay): Promise<ProcessedDay> {
  const records: TrialRow[] = [];
  const refused: Refusal[] = [...opened.book.refused];
  const used: UsedFile[] = [...opened.used];
  for await (const trial of processTrials(source, opened.book)) {
    records.push(trial.record);
    addAll(refused, trial.refused);
    addAll(used, trial.used);
  }
  return { opened, records, refused, used };
}
