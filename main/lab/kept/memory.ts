/**
 * What was last read of the lab folder's files, so that an edit need not read and hash them again. Raw files never
 * change, so a hash stands for what was read; what could not be read whole is not kept.
 */
import { traceColumnsOf, type Daybook, type TrialEntry } from '../../../core/day/book.ts';
import { trialSeries } from '../../../core/trial/trial.ts';
import { type TrialSeries, type TrialInput } from '../../../core/trial/result.ts';
import { insidePath, type DaySource } from '../../files/source.ts';
import { openDay, readTrialFiles, type OpenedDay, type TrialReading } from './process.ts';
import type { Session } from './session.ts';

const MOST_DAYS = 3;
const MOST_TRIALS = 4;

interface Memory {
  readonly days: Map<string, OpenedDay>;
  readonly trials: Map<string, TrialReading>;
}

const memories = new WeakMap<Session['store'], Memory>();

function memoryOf({ store }: Session): Memory {
  const known = memories.get(store);
  if (known !== undefined) return known;
  const memory: Memory = { days: new Map(), trials: new Map() };
  memories.set(store, memory);
  return memory;
}

/** Forgets everything that was read: some of it is no longer there. */
export function forgetRead({ store }: Session): void {
  memories.delete(store);
}

type Hashes = ReadonlyMap<string, string>;

/** {@link openDay} for a day of the lab folder. */
export async function rememberDay(
  session: Session,
  source: DaySource,
  hashes: Hashes,
): Promise<Awaited<ReturnType<typeof openDay>>> {
  const { days } = memoryOf(session);
  const tables = [...hashes].filter(([path]) => !path.includes('/'));
  const key = JSON.stringify(tables);
  const known = recall(days, key);
  if (known !== undefined) return { ok: true, value: known };
  const opened = await openDay(source);
  if (opened.ok && opened.value.used.every(({ path, sha256 }) => hashes.get(path) === sha256))
    keep(days, key, opened.value, MOST_DAYS);
  return opened;
}

/** {@link readTrialFiles} for a trial of a day of the lab folder. */
export async function rememberTrial(
  session: Session,
  day: { readonly source: DaySource; readonly book: Daybook; readonly hashes: Hashes },
  entry: TrialEntry,
): Promise<TrialReading> {
  const { trials } = memoryOf(session);
  const paths = [entry.row.trace, ...[...entry.films.values()].map(({ file }) => file)].flatMap(
    (path) => path ?? [],
  );
  const expected = paths.map((path) => day.hashes.get(insidePath(path) ?? '') ?? null);
  const { line, films } = entry;
  const key = JSON.stringify([line, paths, expected, [...films], traceColumnsOf(day.book.day, entry.row)]);
  const known = recall(trials, key);
  if (known !== undefined) return known;
  const reading = await readTrialFiles(day.source, day.book, entry);
  const used = new Set(reading.used.map(({ sha256 }) => sha256));
  if (expected.every((sha256) => sha256 !== null && used.has(sha256)))
    keep(trials, key, reading, MOST_TRIALS);
  return reading;
}

const seriesOf = new WeakMap<TrialReading, { readonly basis: string; readonly series: TrialSeries }>();

/** {@link trialSeries}, computed again only where what they rest on has changed. */
export function rememberSeries(reading: TrialReading, input: TrialInput): TrialSeries {
  const basis = JSON.stringify([input.hands, input.protocol.filter]);
  const known = seriesOf.get(reading);
  if (known?.basis === basis) return known.series;
  const series = trialSeries(input);
  seriesOf.set(reading, { basis, series });
  return series;
}

/** What is asked for again becomes the youngest. */
function recall<T>(kept: Map<string, T>, key: string): T | undefined {
  const known = kept.get(key);
  if (known !== undefined) {
    kept.delete(key);
    kept.set(key, known);
  }
  return known;
}

function keep<T>(kept: Map<string, T>, key: string, value: T, most: number): void {
  kept.set(key, value);
  for (const oldest of kept.keys()) {
    if (kept.size <= most) break;
    kept.delete(oldest);
  }
}
