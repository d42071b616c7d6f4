/** What of a trial can be done apart from its marks: its trace read, put on its grid, and made pressure and force. */
import { failed, done, type Outcome, type Refusal } from '../../../core/base/refusal.ts';
import type { TraceColumns } from '../../../core/day/day.ts';
import type { Channel, SampledTrace } from '../../../core/force/trace.ts';
import type { SeriesInput, TrialSeries } from '../../../core/trial/result.ts';
import { trialSeries } from '../../../core/trial/trial.ts';
import { readSampledTrace, type ReadTrace } from '../../files/sampledtrace.ts';

/** A trace, and what its hands are read with. */
export interface TraceOrder {
  readonly absolute: string;
  /** Its path inside the day, for sentences. */
  readonly file: string;
  readonly columns: TraceColumns;
  readonly about: Omit<SeriesInput, 'trace'>;
}

/** What came of it, the hands' pressure and force where they were computed; fails as {@link readSampledTrace} does. */
export type TraceAnswer = Outcome<ReadTrace & { readonly series: TrialSeries | null }, readonly Refusal[]>;

/** Reads traces; several at a time where there are hands to do it. */
export interface TraceReader {
  readonly read: (order: TraceOrder) => Promise<TraceAnswer>;
  /** Takes back the memory of an answer that nobody reads any more. */
  readonly letGo: (answer: TraceMemory) => void;
  /** How many are worth being asked for before the first has come. */
  readonly ahead: number;
  readonly close: () => Promise<void>;
}

/** Reads a trace in this thread. */
export async function answerTrace({ absolute, file, columns, about }: TraceOrder): Promise<TraceAnswer> {
  const read = await readSampledTrace(absolute, file, columns);
  if (!read.ok) return failed(read.error);
  return done({ ...read.value, series: trialSeries({ ...about, trace: read.value.trace }) });
}

/** What of an answer is long. */
export interface TraceMemory {
  readonly trace: SampledTrace | null;
  readonly series: TrialSeries | null;
}

/** The memory of an answer, which one thread can hand to another without a copy. */
export function memoryOf({ trace, series }: TraceMemory): ArrayBuffer[] {
  const found = new Set<ArrayBuffer>();
  const take = (values: Float64Array | null | undefined) => {
    if (values?.buffer instanceof ArrayBuffer) found.add(values.buffer);
  };
  const channels: (Channel | null)[] = [trace?.left ?? null, trace?.right ?? null];
  for (const channel of channels) {
    take(channel?.raw);
    take(channel?.asRead?.timeS);
    take(channel?.asRead?.raw);
  }
  for (const hand of [series?.left, series?.right]) {
    take(hand?.pressureKpa);
    take(hand?.forceN);
  }
  return [...found];
}
