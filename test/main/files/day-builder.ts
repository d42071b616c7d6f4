/** One small day of invented numbers in a temporary folder, whole and without fault until a test edits it. */
import { mkdir, mkdtemp, readdir, readFile, realpath, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import Papa from 'papaparse';
import { afterAll } from 'vitest';
import { EVENTS, type EventName } from '../../../core/stroke/stroke.ts';
import { makeDataset } from '../../../main/lab/days/dataset.ts';

/** A file's new content, a change of its text, or null to leave it out. */
export type Edit = string | Uint8Array | null | ((text: string) => string);
export type Edits = Readonly<Record<string, Edit>>;

const made: string[] = [];
afterAll(async () => {
  for (const folder of made.splice(0)) await rm(folder, { recursive: true, force: true });
});

/** A folder of its own, gone when the test file ends. */
export async function tempFolder(): Promise<string> {
  const folder = await realpath(await mkdtemp(join(tmpdir(), 'lanebench-test-')));
  made.push(folder);
  return folder;
}

export interface DayJson {
  [field: string]: unknown;
  pool: Record<string, unknown>;
  protocol: Record<string, unknown>;
  trace_columns: Record<string, unknown>;
}

/** The text of day.json after a change. */
export function dayJson(change: (day: DayJson) => void = () => undefined): string {
  const day: DayJson = {
    format: 'lanebench-day/1',
    day: 'small-day',
    date: '2026-03-14',
    venue: 'invented',
    pool: { length_m: 25, water_temperature_c: 27, latitude_deg: 54.3, altitude_m: 40 },
    protocol: {
      name: '20 m sprint to the wall',
      stroke: 'front crawl',
      run_m: 20,
      section_from_wall_m: [10, 0],
      section_u_m: 0.02,
      section_points: { start: 'head', end: 'head' },
      attempts: 2,
      rest_min_s: 180,
      marking_u_s: 0,
      filter: { kind: 'butterworth', order: 2, cutoff_hz: 12 },
      accept: {
        min_strokes_per_hand: 3,
        max_gap_ms: 20,
        max_saturated_fraction: 0.001,
        max_zero_shift_kpa: 0.15,
      },
    },
    cameras: [{ camera: 'A', frame_rate_hz: 50 }],
    sensors: [
      { sensor: 'S-01', hand: 'left', range_kpa: 15, raw_unit: 'count', raw_min: 0, raw_max: 65535 },
      { sensor: 'S-02', hand: 'right', range_kpa: 15, raw_unit: 'count', raw_min: 0, raw_max: 65535 },
    ],
    trace_columns: {
      time: { column: 'time', unit: 's' },
      left: { column: 'L', sensor: 'S-01' },
      right: { column: 'R', sensor: 'S-02' },
    },
  };
  change(day);
  return JSON.stringify(day, null, 2);
}

/** Seconds of each event from propulsion start. */
const FROM_START: Readonly<Record<EventName, number>> = {
  water_entry: -0.4,
  full_reach: -0.3,
  hand_below_shoulder: -0.1,
  propulsion_start: 0,
  shoulder_plane: 0.25,
  propulsion_end: 0.5,
  water_exit: 0.6,
};
export const STROKES_PER_HAND = 4;

function eventRows(trial: string, clock: 'trace' | 'video'): string {
  let rows = '';
  for (const hand of ['left', 'right'])
    for (let stroke = 1; stroke <= STROKES_PER_HAND; stroke++)
      for (const event of EVENTS) {
        const time =
          1.2 * stroke + (hand === 'left' ? 0 : 0.6) + FROM_START[event] - (clock === 'video' ? 0.5 : 0);
        rows += `${trial},${hand},${stroke},${event},${time.toFixed(2)},${clock},${clock === 'video' ? 'A' : ''},R1\n`;
      }
  return rows;
}

/** Samples of one trial at 100 Hz: time, left and right raw. */
export function traceSamples(): (readonly [number, number, number])[] {
  return Array.from({ length: 800 }, (_, k) => {
    const push = (shift: number) =>
      Math.round(8000 + 12000 * Math.max(0, Math.sin((2 * Math.PI * (k / 100 - shift)) / 1.2)));
    return [k / 100, push(0), push(0.6)] as const;
  });
}

/** Those samples as a trace file. */
export function traceText(): string {
  return TRACE;
}

const TRACE = `time,L,R\n${traceSamples()
  .map(([time, left, right]) => `${time.toFixed(2)},${left},${right}\n`)
  .join('')}`;

function calibrationRows(sensor: string): string {
  return [0, 5, 10, 15, 10, 5, 0]
    .map(
      (kpa, i) => `${sensor},${i + 1},${i < 4 ? 'up' : 'down'},${kpa},kPa,${8000 + 3600 * kpa + (i % 2)}\n`,
    )
    .join('');
}

/** The files of the day; trials T1 (marked on the trace) and T2 (marked on film). */
export function dayFiles(): Record<string, string> {
  const strokes = (trial: string) =>
    ['left', 'right'].map((hand) => `${trial},${hand},1,above,none,,R1\n`).join('');
  return {
    'day.json': dayJson(),
    'roster.csv':
      'participant,sex,birth_year,height_cm,mass_kg,left_hand_area_cm2,right_hand_area_cm2,hand_area_u_cm2,consent,note\n' +
      'P01,female,2003,172.5,63.1,142,144,2,given,\nP02,male,2001,188,82,180,182,2,assent_and_guardian,\n',
    'calibration.csv': `sensor,step,direction,applied,applied_unit,raw\n${calibrationRows('S-01')}${calibrationRows('S-02')}`,
    'zeros.csv': `sensor,trial,when,raw\n${['T1', 'T2']
      .flatMap((trial) =>
        ['S-01', 'S-02'].map((sensor) => `${sensor},${trial},before,8000\n${sensor},${trial},after,8010\n`),
      )
      .join('')}`,
    'trials.csv':
      'trial,participant,attempt,condition,trace,video,left_sensor,right_sensor,section_start_s,section_end_s,timing_method,timing_u_s,status,exclusion_reason\n' +
      'T1,P01,1,sprint,traces/T1.csv,,,,1,6.5,video,0.006,accepted,\n' +
      'T2,P02,1,sprint,traces/T2.csv,,,,1,6.5,video,0.006,recorded,\n',
    'sync.csv': 'trial,camera,trace_s,video_s,what\nT2,A,0.5,0,lamp\nT2,A,3.5,3,lamp\nT2,A,6.5,6,lamp\n',
    'events.csv': `trial,hand,stroke,event,time_s,clock,camera,rater\n${eventRows('T1', 'trace')}${eventRows('T2', 'video')}`,
    'strokes.csv': `trial,hand,stroke,entry_position,breath,exclusion_reason,rater\n${strokes('T1')}${strokes('T2')}`,
    'traces/T1.csv': traceText(),
    'traces/T2.csv': traceText(),
  };
}

/** Writes the day, edited, into `folder` (a new temporary folder by default) and gives its path. */
export async function buildDay(edits: Edits = {}, folder?: string): Promise<string> {
  const at = folder ?? join(await tempFolder(), 'day');
  const files: Record<string, string | Uint8Array | null> = dayFiles();
  for (const [name, edit] of Object.entries(edits))
    files[name] = typeof edit === 'function' ? edit(String(files[name] ?? '')) : edit;
  await mkdir(at, { recursive: true });
  for (const [name, content] of Object.entries(files)) {
    if (content === null) continue;
    await mkdir(dirname(join(at, name)), { recursive: true });
    await writeFile(join(at, name), content);
  }
  return at;
}

/** Adds lines to the end of a file. */
export const append =
  (...lines: readonly string[]) =>
  (text: string): string =>
    `${text}${lines.map((line) => `${line}\n`).join('')}`;

/** Replaces the first occurrence; a text that is not there is a fault of the test. */
export const swap =
  (from: string, to: string) =>
  (text: string): string => {
    if (!text.includes(from)) throw new Error(`the day has no ${JSON.stringify(from)}`);
    return text.replace(from, () => to);
  };

/** Physical line, from 1, of the first line that starts so. */
export function lineOf(text: string, start: string): number {
  return text.split('\n').findIndex((line) => line.startsWith(start)) + 1;
}

export type CsvRow = Readonly<Record<string, string>>;

/** The rows of a CSV text by column name, read by papaparse. */
export function records(text: string): readonly CsvRow[] {
  return Papa.parse<Record<string, string>>(text, { header: true, skipEmptyLines: true }).data;
}

export interface Processed {
  readonly files: ReadonlyMap<string, string>;
  readonly refused: readonly {
    readonly file: string;
    readonly line: number | null;
    readonly reason: string;
  }[];
  /** `file:line` of each refused line, in order; the line is empty for a whole file. */
  readonly places: readonly string[];
  readonly table: (name: string) => readonly CsvRow[];
  readonly trial: (code: string) => CsvRow;
}

/** Every file below a folder, by path, as text. */
export async function readFolder(folder: string): Promise<ReadonlyMap<string, string>> {
  const names = await readdir(folder, { recursive: true, withFileTypes: true });
  const files = new Map<string, string>();
  for (const entry of names.filter((one) => one.isFile())) {
    const path = join(entry.parentPath, entry.name);
    files.set(path.slice(folder.length + 1), await readFile(path, 'utf8'));
  }
  return files;
}

/** Processes a day folder without a window or a terminal, and reads the dataset back from the disk. */
export async function processFolder(folder: string): Promise<Processed> {
  const out = join(await tempFolder(), 'out');
  const outcome = await makeDataset({ folder, out, replace: false }, () => undefined);
  if (outcome.kind !== 'written') throw new Error(`nothing was written: ${outcome.says}`);
  const files = await readFolder(out);
  const table = (name: string) => records(files.get(`${name}.csv`)!);
  const refused = table('refused').map((row) => ({
    file: row['file']!,
    line: row['line'] === '' ? null : Number(row['line']),
    reason: row['reason']!,
  }));
  return {
    files,
    refused,
    places: refused.flatMap(placesOf),
    table,
    trial: (code) => table('trials').find((row) => row['trial'] === code) ?? {},
  };
}

/** The lines that one row of refused.csv stands for: neighbouring ones with one reason. */
function placesOf({ file, line, reason }: Processed['refused'][number]): readonly string[] {
  const [, first, last, rows] = / Lines (\d+) to (\d+), (\d+) rows\.$/.exec(reason) ?? [];
  if (first === undefined || Number(last) - Number(first) + 1 !== Number(rows))
    return [`${file}:${line ?? ''}`];
  return Array.from({ length: Number(rows) }, (_, k) => `${file}:${Number(first) + k}`);
}

/** Builds an edited day and processes it. */
export async function processEdited(edits: Edits = {}): Promise<Processed> {
  return processFolder(await buildDay(edits));
}
