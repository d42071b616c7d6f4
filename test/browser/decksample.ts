/**
 * The sample day's files as those of a new testing day, and that day written by hand as a lab would write it: trials.csv,
 * roster.csv and calibration.csv by formats.md, from what was dropped and what was answered, and nothing of the app's.
 */
import { cpSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Papa from 'papaparse';
import { SAMPLE } from './app.ts';

type Row = Readonly<Record<string, string>>;

export function sampleTable(name: string): readonly Row[] {
  const text = readFileSync(join(SAMPLE, name), 'utf8');
  return Papa.parse<Row>(text, { header: true, skipEmptyLines: true }).data;
}

/** The sample day's first six swimmers. */
export const SWIMMERS = sampleTable('roster.csv').slice(0, 6);
export const STAYING = ['P01', 'P02', 'P03', 'P04', 'P06'] as const;
export const LEAVING = 'P05';

/** Whether a swimmer's film may be shown to others. */
export const sharingOf = (participant: string): 'given' | 'withheld' =>
  participant === 'P04' ? 'withheld' : 'given';

/** Which trial of the sample day is recorded as a trial of this day; all others are recorded as themselves. */
const AS: Readonly<Record<string, string>> = { 'P01-3': 'P07-2' };

interface Recorded {
  /** Of the sample day; null where there is none. */
  readonly trace: string | null;
  readonly film: string;
  readonly section: Row;
}

/** What the sample day has for a trial of this day. */
export function recordedAs(trial: string): Recorded {
  const code = AS[trial] ?? trial;
  const row = sampleTable('trials.csv').find((one) => one['trial'] === code)!;
  return { trace: row['trace'] === '' ? null : row['trace']!, film: row['video']!, section: row };
}

export interface Answered {
  readonly trial: string;
  readonly status: 'recorded' | 'accepted' | 'excluded';
  readonly reason: string;
}

/** What a sensor read without load at both ends of the day, and at a known pressure at its end. */
export interface SensorRead {
  readonly sensor: string;
  readonly startRaw: number;
  readonly endRaw: number;
  readonly appliedKpa: number;
  readonly raw: number;
}

/**
 * Writes the day folder by hand; `swum` in the order of swimming. What was planned and what was marked is that of the
 * app's folder: day.json and events.csv.
 */
export function writeByHand(
  folder: string,
  swum: readonly Answered[],
  ofApp: string,
  read: readonly SensorRead[],
): void {
  mkdirSync(join(folder, 'traces'), { recursive: true });
  mkdirSync(join(folder, 'video'));
  for (const name of ['day.json', 'events.csv']) cpSync(join(ofApp, name), join(folder, name));
  const trials = swum.map(({ trial, status, reason }) => {
    const { trace, film, section } = recordedAs(trial);
    const [participant, attempt] = trial.split('-');
    const traceFile = trace === null ? '' : `traces/${trial}.csv`;
    const filmFile = `video/${trial}-A.${film.split('.').at(-1)!}`;
    if (trace !== null) cpSync(join(SAMPLE, trace), join(folder, traceFile));
    cpSync(join(SAMPLE, film), join(folder, filmFile));
    const { section_start_s, section_end_s, timing_method, timing_u_s } = section;
    return {
      ...{ trial, participant, attempt, condition: '', trace: traceFile, video: filmFile },
      ...{ section_start_s, section_end_s, timing_method, timing_u_s, status, exclusion_reason: reason },
    };
  });
  const roster = SWIMMERS.map((swimmer) => ({
    ...swimmer,
    consent: swimmer['participant'] === LEAVING ? 'withdrawn' : swimmer['consent'],
    film_consent: 'given',
    film_sharing_consent: sharingOf(swimmer['participant']!),
  }));
  const calibration = sampleTable('calibration.csv').filter(({ sensor }) =>
    ['S-01', 'S-02'].includes(sensor!),
  );
  const write = (name: string, rows: readonly object[]) =>
    writeFileSync(join(folder, `${name}.csv`), `${Papa.unparse([...rows], { newline: '\n' })}\n`);
  write('trials', trials);
  write('roster', roster);
  write('calibration', calibration);
  write(
    'zeros',
    read.flatMap(({ sensor, startRaw, endRaw }) => [
      { sensor, trial: '', when: 'before', raw: startRaw },
      { sensor, trial: '', when: 'after', raw: endRaw },
    ]),
  );
  write(
    'checks',
    read.flatMap(({ sensor, endRaw, appliedKpa, raw }) => [
      { sensor, when: 'end', applied: 0, applied_unit: 'kPa', raw: endRaw },
      { sensor, when: 'end', applied: appliedKpa, applied_unit: 'kPa', raw },
    ]),
  );
}
