/**
 * Traces that are no text: each kind of container is a module that gives its signals by name, and a line of the table
 * here; what comes out are the rows that a CSV trace would give. Contract: formats.md section 1, traces.
 */
import { createHash } from 'node:crypto';
import { readFile, stat } from 'node:fs/promises';
import { HANDS, type Hand } from '../../core/base/hand.ts';
import { quoted } from '../../core/base/plaintext.ts';
import { done, failed, type Outcome, type Refusal } from '../../core/base/refusal.ts';
import type { TraceRows } from '../../core/force/trace.ts';
import type { TraceColumns } from '../../core/day/day.ts';
import { readEdf } from './readedf.ts';
import { readMat } from './readmat.ts';
import type { ContainerReader, Signal, TraceFile } from './signals.ts';

/** The kinds of container by the endings of their names. */
const READERS: Readonly<Record<string, ContainerReader>> = {
  edf: (bytes) => readEdf(bytes),
  bdf: (bytes) => readEdf(bytes),
  mat: (bytes) => readMat(bytes),
};

/** The reader for a name's ending; null where the file is text. */
export function containerReader(file: string): ContainerReader | null {
  const ending = /\.([^./]*)$/.exec(file)?.[1]?.toLowerCase() ?? '';
  return Object.hasOwn(READERS, ending) ? READERS[ending]! : null;
}

/** The largest container that is read, bytes: all of it is in memory at once. */
const MOST_BYTES = 1 << 29;
const SECONDS = { s: 1, ms: 1e3, us: 1e6 } as const;
/** A day's rate that differs by more than this share from the file's is another one: common practice, no source. */
const RATE_OFF = 0.001;

/** Reads a trace from a container; see `readTraceFile`. @param mostSamples that a trace may hold */
export async function readContainerTrace(
  absolute: string,
  file: string,
  columns: TraceColumns,
  read: ContainerReader,
  mostSamples: number,
): Promise<Outcome<TraceFile, Refusal>> {
  const whole = (why: string, field: string | null = null) =>
    failed({
      file,
      line: null,
      field,
      reason: `${file} cannot be used: ${why}. Correct it and bring it in again.`,
    });
  let bytes;
  try {
    const { size } = await stat(absolute);
    if (size > MOST_BYTES)
      return whole(`it holds ${size} bytes, and at most ${MOST_BYTES} are read; cut it to the trial`);
    bytes = await readFile(absolute);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    return whole(`it cannot be read (${code})`);
  }
  const container = read(bytes);
  if (!container.ok) return whole(container.error);
  const { signals, faults } = container.value;
  const names = signals.map(({ name }) => quoted(name)).join(', ');
  const named = (name: string) => signals.find((signal) => signal.name === name);
  const refused: Refusal[] = faults.map((reason) => ({ file, line: null, field: null, reason }));
  const hands: Partial<Record<Hand, Signal>> = {};
  for (const hand of HANDS) {
    const column = columns[hand]?.column;
    if (column === undefined) continue;
    const signal = named(column);
    if (signal !== undefined) hands[hand] = signal;
    else
      refused.push({
        file,
        line: null,
        field: column,
        reason: `${file} has no signal ${quoted(column)} for the ${hand} hand, but ${names}; that hand has no force.`,
      });
  }
  const [first, second] = HANDS.flatMap((hand) => hands[hand] ?? []);
  if (first === undefined) return whole(`it has neither hand’s signal, but ${names}`);
  if (first.values.length > mostSamples)
    return whole(
      `it holds more than ${mostSamples} samples, the most that a trial takes; cut it to the trial`,
    );
  if (second !== undefined && second.values.length !== first.values.length)
    return whole(
      `its two hands have ${first.values.length} and ${second.values.length} samples; record both at one rate`,
    );
  const time = timeOf(columns, first, named);
  if (!time.ok) return whole(time.error, 'trace_columns.time');
  const rows: TraceRows = {
    ...time.value,
    lines: Uint32Array.from(first.values, (_, k) => k + 1),
    left: hands.left?.values ?? null,
    right: hands.right?.values ?? null,
  };
  return done({ rows, refused, sha256: createHash('sha256').update(bytes).digest('hex') });
}

/** When the samples were taken: by the day's column, by the file, or by the day's rate. */
function timeOf(
  { time }: TraceColumns,
  signal: Signal,
  named: (name: string) => Signal | undefined,
): Outcome<Pick<TraceRows, 'timeS' | 'rateHz'>, string> {
  if (time === null) return failed('day.json does not say where the time of a sample stands');
  if (time.kind === 'column') {
    const column = named(time.column);
    if (column !== undefined) {
      if (column.values.length !== signal.values.length)
        return failed(
          `its ${time.column} has ${column.values.length} values and a hand ${signal.values.length}`,
        );
      return done({ timeS: column.values.map((value) => value / SECONDS[time.unit]), rateHz: null });
    }
    return signal.timeS === null
      ? failed(`it has no column ${quoted(time.column)} for the time`)
      : done({ timeS: signal.timeS, rateHz: null });
  }
  const { rateHz } = signal;
  if (rateHz !== null && Math.abs(rateHz / time.rateHz - 1) > RATE_OFF)
    return failed(`it was sampled at ${rateHz} Hz, and day.json says ${time.rateHz} Hz`);
  if (rateHz === null && signal.timeS !== null) return done({ timeS: signal.timeS, rateHz: null });
  return done({ timeS: null, rateHz: rateHz ?? time.rateHz });
}
