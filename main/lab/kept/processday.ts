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

/** A trial that was computed, and what of its files was used and refused. */
export interface ProcessedTrial {
  readonly record: TrialRow;
  readonly refused: readonly Refusal[];
  readonly used: readonly UsedFile[];
}

/** Computes the trials of an opened day, one after the other. */
export async function* processTrials(source: DaySource, book: Daybook): AsyncGenerator<ProcessedTrial> {
  const reader = traceReader(await traceBytes(source, book));
  try {
    const coming: Promise<TrialReading>[] = [];
    let begun = 0;
    for (const entry of book.trials) {
      for (; coming.length < reader.ahead && begun < book.trials.length; begun++) {
        const reading = readTrialFiles(source, book, book.trials[begun]!, (order) => reader.read(order));
        // Whoever waits for it is told; one that nobody comes to wait for concerns nobody.
        reading.catch(() => undefined);
        coming.push(reading);
      }
      const reading = await coming.shift()!;
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

/** About how many bytes the traces of a day hold: its first trace's size, for each. */
async function traceBytes(source: DaySource, { trials }: Daybook): Promise<number> {
  const named = trials.flatMap(({ row }) => row.trace ?? []);
  const first = named.length === 0 ? null : await source.find(named[0]!);
  return first?.kind === 'file' ? first.bytes * named.length : 0;
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
