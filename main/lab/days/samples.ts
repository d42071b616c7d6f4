/**
 * The samples of every trial as Parquet, `samples/TRIAL.parquet`. Each trial is read again when its file is written, so
 * that one trial is in memory at a time, however many there are. Contract: formats.md section 4, `--samples`.
 */
import type { Hand } from '../../../core/base/hand.ts';
import type { NewtonSeries } from '../../../core/base/units.ts';
import type { Daybook, TrialEntry } from '../../../core/day/book.ts';
import type { Channel, SampledTrace } from '../../../core/force/trace.ts';
import { trialForces } from '../../../core/trial/trial.ts';
import type { OutFile } from '../../files/outfolder.ts';
import { parquetBytes } from '../../files/parquet.ts';
import type { DaySource } from '../../files/source.ts';
import { inputOf, readTrialFiles } from '../kept/process.ts';

/** One file for each of the trials, which have a trace. */
export function* sampleFiles(
  source: DaySource,
  book: Daybook,
  trials: readonly TrialEntry[],
): Generator<readonly [string, OutFile]> {
  for (const entry of trials)
    yield [`samples/${entry.row.trial}.parquet`, { make: () => samplesOf(source, book, entry) }];
}

async function samplesOf(source: DaySource, book: Daybook, entry: TrialEntry): Promise<Uint8Array> {
  const reading = await readTrialFiles(source, book, entry);
  const { trace } = reading;
  // The trace was there a moment ago.
  if (trace === null) throw new Error(`${entry.row.trace ?? 'A trace'} cannot be read any more`);
  return samplesParquet(trace, trialForces(inputOf(book, entry, reading).input));
}

/** A trial's samples on the trace's grid: time (s), raw values in the sensor's unit, forces (N). */
export function samplesParquet(
  trace: SampledTrace,
  force: Readonly<Record<Hand, NewtonSeries | null>>,
): Uint8Array {
  return parquetBytes(
    sampleColumns(trace, force).map(([name, values]) => ({ name, type: 'number', values }) as const),
  );
}

/** The same by column; null where a sample is missing. */
export function sampleColumns(
  trace: SampledTrace,
  force: Readonly<Record<Hand, NewtonSeries | null>>,
): readonly (readonly [string, readonly (number | null)[]])[] {
  return [
    ['time_s', times(trace)],
    ['left_raw', rawOf(trace.left, trace.count)],
    ['right_raw', rawOf(trace.right, trace.count)],
    ['left_force_n', force.left === null ? nothing(trace.count) : [...force.left]],
    ['right_force_n', force.right === null ? nothing(trace.count) : [...force.right]],
  ];
}

const nothing = (count: number) => new Array<null>(count).fill(null);

/** Grid times, s. */
function times({ startS, rateHz, count }: SampledTrace): readonly number[] {
  return Array.from({ length: count }, (_, k) => startS + k / rateHz);
}

/** Raw values on the grid; empty where a sample was missing and has been filled. */
function rawOf(channel: Channel | null, count: number): readonly (number | null)[] {
  if (channel === null) return nothing(count);
  const values: (number | null)[] = [...channel.raw];
  for (const { first, last } of channel.gaps) values.fill(null, first, last + 1);
  return values;
}
