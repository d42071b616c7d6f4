/** A day folder opened: its tables, and the files of its trials one by one. */
import { setImmediate } from 'node:timers/promises';
import { addAll } from '../../../core/base/extent.ts';
import {
  assembling,
  traceColumnsOf,
  type Daybook,
  type DayTexts,
  type TrialEntry,
} from '../../../core/day/book.ts';
import { readDay } from '../../../core/day/day.ts';
import { columnsOf, TABLE_NAMES } from '../../../core/day/tables.ts';
import type { Slices } from '../../../core/base/slices.ts';
import { done, failed, type Outcome, type Refusal } from '../../../core/base/refusal.ts';
import type { SampledTrace } from '../../../core/force/trace.ts';
import type { TrialInput, TrialSeries } from '../../../core/trial/result.ts';
import { handOf, toTrialInput } from '../../../core/trial/input.ts';
import { readFilm, type Film } from '../../files/film.ts';
import { sha256OfFile } from '../../files/hash.ts';
import type { DaySource } from '../../files/source.ts';
import { MOST_DAY_JSON, readText, readTextTable } from '../../files/texttable.ts';
import { readSampledTrace } from '../../files/sampledtrace.ts';
import type { TraceOrder, TraceAnswer } from './tracework.ts';

/** An input file that was used. */
export interface UsedFile {
  readonly path: string;
  readonly sha256: string;
}

export interface OpenedDay {
  readonly book: Daybook;
  readonly used: readonly UsedFile[];
}

const REQUIRED: ReadonlySet<string> = new Set(['roster', 'trials']);

/** How many parts an opening has that {@link openDay} tells of: its tables, and putting them together. */
export const OPENING_PARTS = TABLE_NAMES.length + 1;

/**
 * Reads day.json and the tables. Fails, with one refusal, where nothing can be processed. Other work goes on meanwhile;
 * an aborted signal rejects with its reason, in the middle of a table too. `onPart` is told when a part is done,
 * `onShare` which share of the table under way has been read.
 */
export async function openDay(
  source: DaySource,
  signal?: AbortSignal,
  onPart: () => void = () => undefined,
  onShare?: (share: number) => void,
): Promise<Outcome<OpenedDay, Refusal>> {
  const whole = (file: string, reason: string) => failed({ file, line: null, field: null, reason });
  const used: UsedFile[] = [];
  const found = await source.find('day.json');
  if (found.kind === 'damaged') return whole('day.json', `day.json ${found.why}.`);
  if (found.kind !== 'file')
    return whole('day.json', 'The folder has no day.json; choose the folder of a testing day.');
  const text = await readText(found.absolute, 'day.json', MOST_DAY_JSON);
  if (!text.ok) return text;
  const day = readDay(text.value);
  if (!day.ok) return day;
  used.push({ path: 'day.json', sha256: await sha256OfFile(found.absolute) });
  const refused: Refusal[] = [...day.value.refused];
  const texts: { -readonly [K in keyof DayTexts]: DayTexts[K] } = {};
  for (const [at, name] of TABLE_NAMES.entries()) {
    if (at > 0) onPart();
    const file = `${name}.csv`;
    const place = await source.find(file);
    if (place.kind !== 'file') {
      const says =
        place.kind === 'damaged'
          ? `${file} ${place.why}`
          : place.kind === 'absent'
            ? `The folder has no ${file}`
            : `${file} is no file inside the day folder`;
      if (REQUIRED.has(name)) return whole(file, `${says}; add it and open the day again.`);
      if (place.kind !== 'absent')
        refused.push({ file, line: null, field: null, reason: `${says}; it was left out.` });
      continue;
    }
    const table = await readTextTable(place.absolute, file, columnsOf(name), signal, onShare);
    if (table.ok) {
      texts[name] = table.value;
      used.push({ path: file, sha256: await sha256OfFile(place.absolute) });
    } else if (REQUIRED.has(name)) return table;
    else refused.push(table.error);
  }
  onPart();
  const book = await besideOthers(assembling(day.value.day, texts), signal);
  onPart();
  return done({
    book: { ...book, refused: [...refused, ...book.refused] },
    used,
  });
}

/** Work in slices stops for others after so long, ms. */
const TURN_MS = 20;

/** Does work in slices, with other work between them; an aborted signal rejects with its reason. */
async function besideOthers<T>(slices: Slices<T>, signal?: AbortSignal): Promise<T> {
  for (let began = performance.now(); ;) {
    const slice = slices.next();
    if (slice.done === true) return slice.value;
    if (performance.now() - began < TURN_MS) continue;
    await setImmediate();
    signal?.throwIfAborted();
    began = performance.now();
  }
}

/** What the files of a trial gave, and what of them was refused. */
export interface TrialReading {
  readonly trace: SampledTrace | null;
  /** What the trace gives of the hands, where its reader computed that too. */
  readonly series: TrialSeries | null;
  readonly films: ReadonlyMap<string, Film>;
  readonly used: readonly UsedFile[];
  readonly refused: readonly Refusal[];
}

type ReadTrace = (order: TraceOrder) => Promise<TraceAnswer>;

const readAlone: ReadTrace = async ({ absolute, file, columns }) => {
  const read = await readSampledTrace(absolute, file, columns);
  return read.ok ? done({ ...read.value, series: null }) : read;
};

/** Reads a trial's trace and the frame times of its films. */
export async function readTrialFiles(
  source: DaySource,
  book: Daybook,
  entry: TrialEntry,
  readTrace: ReadTrace = readAlone,
): Promise<TrialReading> {
  const refused: Refusal[] = [];
  const used: UsedFile[] = [];
  const find = async (path: string, table: string, line: number | null, field: string) => {
    const found = await source.find(path);
    if (found.kind === 'file') return found.absolute;
    if (found.kind === 'outside')
      refused.push({
        file: table,
        line,
        field,
        reason: `The path "${path}" leads out of the day folder; it was not followed.`,
      });
    else if (found.kind === 'damaged')
      refused.push({ file: path, line: null, field, reason: `${path} ${found.why}; it was not used.` });
    else
      refused.push({
        file: path,
        line: null,
        field,
        reason: `${path} is not in the day folder; copy it there and open the day again.`,
      });
    return null;
  };
  const trace =
    entry.row.trace === null ? null : await find(entry.row.trace, 'trials.csv', entry.line, 'trace');
  const read = trace === null ? null : await readSamples(trace, entry, book, readTrace, refused, used);
  const films = new Map<string, Film>();
  for (const [camera, { file, table, line }] of entry.films) {
    const absolute = await find(file, table, line, 'video');
    if (absolute === null) continue;
    const film = await readFilm(absolute);
    if (film.ok) {
      films.set(camera, film.value);
      used.push({ path: file, sha256: await sha256OfFile(absolute) });
    } else refused.push({ file, line: null, field: null, reason: `${file} ${film.error}.` });
  }
  return { trace: read?.trace ?? null, series: read?.series ?? null, films, used, refused };
}

async function readSamples(
  absolute: string,
  entry: TrialEntry,
  book: Daybook,
  readTrace: ReadTrace,
  refused: Refusal[],
  used: UsedFile[],
): Promise<{ readonly trace: SampledTrace; readonly series: TrialSeries | null } | null> {
  const file = entry.row.trace!;
  const read = await readTrace({
    absolute,
    file,
    columns: traceColumnsOf(book.day, entry.row),
    about: {
      protocol: { filter: book.day.protocol.filter },
      hands: { left: handOf(book, entry, 'left'), right: handOf(book, entry, 'right') },
    },
  });
  if (!read.ok) {
    const last = read.error.at(-1)!;
    addAll(refused, read.error.slice(0, -1));
    refused.push({ ...last, reason: `${last.reason} Until then the trial has no force.` });
    return null;
  }
  addAll(refused, read.value.refused);
  used.push({ path: file, sha256: read.value.sha256 });
  return read.value;
}

/** The input of a trial's analysis from its files, with what was refused on the way. */
export function inputOf(
  book: Daybook,
  entry: TrialEntry,
  reading: TrialReading,
): { readonly input: TrialInput; readonly refused: readonly Refusal[] } {
  const filmStepS = new Map(
    [...reading.films].flatMap(([camera, film]) =>
      film.frameIntervalS === null ? [] : [[camera, film.frameIntervalS] as const],
    ),
  );
  return toTrialInput(book, entry, { trace: reading.trace, filmStepS });
}
