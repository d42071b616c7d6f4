/** The releases of a lab folder, and what an export of one would write. */
import type { LabError } from '../../../core/base/refusal.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import type { ExportPreview, ReleaseView } from '../../../core/contract/releases.ts';
import { handedOverSays, type ExportWish } from '../../../core/dataset/release.ts';
import { TABLE_NAMES, type TableName } from '../../../core/dataset/pool.ts';
import type { StoredRelease } from '../../store/releases.ts';
import type { Session } from '../kept/session.ts';
import { aboutOf, openRelease } from './releaserows.ts';
import { Swimmers } from './swimmers.ts';

/** Oldest first. */
export function listReleases({ store }: Session): readonly ReleaseView[] {
  return store.releases().map(viewOf);
}

export function viewOf(stored: StoredRelease): ReleaseView {
  const { name, sha256, at, who, version } = stored;
  const { days, swimmers } = aboutOf(stored);
  const trials = days.reduce((sum, day) => sum + day.trials, 0);
  return { name, sha256, at, who, version, days, swimmers, trials };
}

/** What an export would write, and about whom; nothing is written. */
export async function tryExport(
  session: Session,
  name: string,
  wish: ExportWish,
): Promise<Outcome<ExportPreview, LabError>> {
  const opened = openRelease(session, name);
  if (!opened.ok) return opened;
  const rows = new Map<string, number>();
  const swimmers = new Swimmers();
  const leftOut = { swimmers: 0, trials: 0 };
  let samples = 0;
  for (const { day: code } of opened.value.about.days) {
    const day = await opened.value.day(code);
    if (!day.ok) return day;
    swimmers.addDay(day.value.swimmers);
    leftOut.swimmers += day.value.leftOut.swimmers;
    leftOut.trials += day.value.leftOut.trials;
    samples += day.value.samples().size;
    for (const table of TABLE_NAMES) {
      const read = await day.value.table(table);
      if (!read.ok) return read;
      rows.set(table, (rows.get(table) ?? 0) + read.value.rows.length);
      if (table === 'trials') swimmers.addTrials(read.value, day.value.swimmers);
    }
  }
  const counts = { days: opened.value.about.days.length, samples };
  const files = filesTold(wish, counts, (table) => rows.get(table)!);
  return done({ files, swimmers: swimmers.list(), leftOut, says: handedOverSays(wish) });
}

const WHAT = {
  participants: 'Swimmers, one row per day',
  calibrations: 'Calibrations of the sensors',
  trials: 'Trials',
  strokes: 'Arm strokes',
  refused: 'Inputs left out',
} as const;

/** The kinds of files that an export writes. */
function filesTold(
  wish: ExportWish,
  { days, samples }: { readonly days: number; readonly samples: number },
  rowsOf: (table: TableName) => number,
): ExportPreview['files'] {
  const one = (path: string, what: string) => ({ path, what, count: 1, rows: null });
  const many = (asked: boolean, path: string, what: string, count: number) =>
    asked ? [{ path, what, count, rows: null }] : [];
  return [
    ...TABLE_NAMES.map((table) => ({ ...one(`${table}.csv`, WHAT[table]), rows: rowsOf(table) })),
    ...many(wish.curves, 'curves.csv', 'Mean force curves of every trial over the stroke cycle', 1),
    one('datapackage.json', 'Fields, units and hashes of every table'),
    one('README.md', 'Codebook'),
    one('METHODS.md', 'A methods paragraph'),
    one('provenance.json', 'Program version, parameters and hashes of the inputs'),
    one('load.py', 'Reads the tables in Python'),
    one('load.R', 'Reads the tables in R'),
    ...many(
      wish.parquet,
      'tables/TABLE/day=DAY/part-0.parquet',
      'The tables as Parquet',
      days * TABLE_NAMES.length,
    ),
    ...many(wish.samples, 'samples/day=DAY/TRIAL.parquet', 'Samples of every trial', samples),
    ...many(wish.matlab, 'recordings/day=DAY/TRIAL.mat', 'Every trial for MATLAB', samples),
    ...many(wish.edf, 'recordings/day=DAY/TRIAL.edf', 'Every trial as EDF+', samples),
  ];
}
