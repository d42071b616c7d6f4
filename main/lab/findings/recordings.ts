/** One trial of a release as a recording for other programs, from its frozen samples and strokes. */
import type { LabError } from '../../../core/base/refusal.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import { type Hand, HANDS } from '../../../core/base/hand.ts';
import { EVENTS } from '../../../core/stroke/stroke.ts';
import type { RecordingChannel, RecordingEvent, TrialRecording } from '../../../core/dataset/recording.ts';
import { readParquet } from '../../files/parquet.ts';
import type { Session } from '../kept/session.ts';
import { contentPath, type FrozenTable, type OpenDay, type OpenRelease } from './releaserows.ts';

type FrozenRecording = (trial: string, sha256: string) => Promise<Outcome<TrialRecording, LabError>>;

/** The recordings of a day of a release: each from the samples that lie under a hash, one at a time. */
export async function frozenRecordings(
  session: Session,
  release: OpenRelease,
  day: OpenDay,
): Promise<Outcome<FrozenRecording, LabError>> {
  const trials = await day.table('trials');
  if (!trials.ok) return trials;
  const strokes = await day.table('strokes');
  if (!strokes.ok) return strokes;
  const provenance = await day.provenance();
  if (!provenance.ok) return provenance;
  const [rows, marks] = [byTrial(trials.value), byTrial(strokes.value)];
  const { date } = release.about.days.find((own) => own.day === day.day)!;
  const parameters = (provenance.value['parameters'] as { readonly day?: FrozenDayJson } | undefined)?.day;
  return done(async (trial, sha256) => {
    const path = `samples/${trial}.parquet`;
    const place = await contentPath(session, release.stored.name, { path, sha256 });
    if (!place.ok) return place;
    const columns = await readParquet(place.value);
    const row = rows.get(trial)?.[0] ?? {};
    const unit = (hand: Hand) => rawUnit(parameters, hand, row[`${hand}_sensor`] ?? '');
    const own = {
      day: day.day,
      date,
      trial,
      participant: row['participant'] ?? '',
      version: release.stored.version,
    };
    return done(recordingOf(own, columns, unit, (marks.get(trial) ?? []).flatMap(eventsOf)));
  });
}

/**
 * A recording from its columns of samples (s, raw units, N; NaN where one is missing) and its events.
 * @param unit in which a hand's raw values are
 */
export function recordingOf(
  about: Pick<TrialRecording, 'day' | 'date' | 'trial' | 'participant' | 'version'>,
  columns: ReadonlyMap<string, Float64Array>,
  unit: (hand: Hand) => string,
  events: readonly RecordingEvent[],
): TrialRecording {
  const times = columns.get('time_s') ?? new Float64Array();
  return {
    ...about,
    startS: times[0] ?? 0,
    rateHz: (times.length - 1) / (times.at(-1)! - times[0]!),
    channels: channelsOf((name) => columns.get(name) ?? null, unit),
    events: events.toSorted((a, b) => a.timeS - b.timeS),
  };
}

/** What of a frozen day's parameters says in which unit its sensors read. */
interface FrozenDayJson {
  readonly sensors?: readonly { readonly sensor: string; readonly raw_unit: string | null }[];
  readonly trace_columns?: Readonly<Record<Hand, { readonly unit?: string | null } | null>>;
}

function rawUnit(day: FrozenDayJson | undefined, hand: Hand, sensor: string): string {
  const column = day?.trace_columns?.[hand]?.unit;
  return column ?? day?.sensors?.find((own) => own.sensor === sensor)?.raw_unit ?? '';
}

type Row = Readonly<Record<string, string>>;

function byTrial({ columns, rows }: FrozenTable): ReadonlyMap<string, readonly Row[]> {
  const found = new Map<string, Row[]>();
  for (const cells of rows) {
    const row = Object.fromEntries(columns.map((name, k) => [name, cells[k] ?? '']));
    found.set(row['trial']!, [...(found.get(row['trial']!) ?? []), row]);
  }
  return found;
}

function eventsOf(row: Row): readonly RecordingEvent[] {
  const [hand, stroke] = [row['hand'] === 'left' ? 'left' : 'right', Number(row['stroke'])] as const;
  return EVENTS.flatMap((event) => {
    const cell = row[`${event}_s`] ?? '';
    return cell === '' ? [] : [{ timeS: Number(cell), hand, stroke, event }];
  });
}

function channelsOf(
  values: (name: RecordingChannel['name']) => Float64Array | null,
  unit: (hand: Hand) => string,
): readonly RecordingChannel[] {
  return (['raw', 'force_n'] as const).flatMap((kind) =>
    HANDS.flatMap((hand) => {
      const name = `${hand}_${kind}` as const;
      const own = values(name);
      if (own === null || own.every(Number.isNaN)) return [];
      return [{ name, unit: kind === 'raw' ? unit(hand) : 'N', values: own }];
    }),
  );
}
