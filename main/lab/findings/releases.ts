/** The releases of a lab folder, and what an export of one would write. */
import type { LabError } from '../../../core/base/refusal.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import type { ExportPreview, ReleaseView } from '../../../core/contract/releases.ts';
import { handedOverSays, type ExportWish } from '../../../core/dataset/release.ts';
import { TABLE_NAMES } from '../../../core/dataset/pool.ts';
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
  const days = opened.value.about.days.length;
  const files: ExportPreview['files'][number][] = [
    ...TABLE_NAMES.map((table) => ({
      path: `${table}.csv`,
      what: WHAT[table],
      count: 1,
      rows: rows.get(table)!,
    })),
    { path: 'datapackage.json', what: 'Fields, units and hashes of every table', count: 1, rows: null },
    { path: 'README.md', what: 'Codebook', count: 1, rows: null },
    {
      path: 'provenance.json',
      what: 'Program version, parameters and hashes of the inputs',
      count: 1,
      rows: null,
    },
    ...(wish.parquet
      ? [
          {
            path: 'tables/TABLE/day=DAY/part-0.parquet',
            what: 'The tables as Parquet',
            count: days * TABLE_NAMES.length,
            rows: null,
          },
        ]
      : []),
    ...(wish.samples
      ? [
          {
            path: 'samples/day=DAY/TRIAL.parquet',
            what: 'Samples of every trial',
            count: samples,
            rows: null,
          },
        ]
      : []),
  ];
  return done({ files, swimmers: swimmers.list(), leftOut, says: handedOverSays(wish) });
}

const WHAT = {
  participants: 'Swimmers, one row per day',
  calibrations: 'Calibrations of the sensors',
  trials: 'Trials',
  strokes: 'Arm strokes',
  refused: 'Inputs left out',
} as const;
