/** One trial as a recording for other programs: of a release from its frozen samples, of a day as it stands. */
import type { LabError } from '../../../core/base/refusal.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import { type Hand, HANDS } from '../../../core/base/hand.ts';
import { EVENTS } from '../../../core/stroke/stroke.ts';
import type { RecordingChannel, RecordingEvent, TrialRecording } from '../../../core/dataset/recording.ts';
import { sensorWorn } from '../../../core/day/book.ts';
import type { SampledTrace } from '../../../core/force/trace.ts';
import { readParquet } from '../../files/parquet.ts';
import { rememberSeries, rememberTrial } from '../kept/memory.ts';
import { inputOf } from '../kept/process.ts';
import type { Session } from '../kept/session.ts';
import { findTrial, keptDay, trialOutcome, type KeptDay } from '../kept/keptday.ts';
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
    const times = columns.get('time_s') ?? new Float64Array();
    const unit = (hand: Hand) => rawUnit(parameters, hand, row[`${hand}_sensor`] ?? '');
    const own = {
      day: day.day,
      date,
      trial,
      participant: row['participant'] ?? '',
      startS: times[0] ?? 0,
      rateHz: (times.length - 1) / (times.at(-1)! - times[0]!),
      channels: channelsOf((name) => columns.get(name) ?? null, unit),
      events: (marks.get(trial) ?? []).flatMap(eventsOf).toSorted((a, b) => a.timeS - b.timeS),
      version: release.stored.version,
    };
    return done(own);
  });
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

/** A trial of a day as it stands; an error where there is no such trial, null where it has no trace. */
export async function liveRecording(
  session: Session,
  id: number,
  trial: string,
): Promise<Outcome<TrialRecording | null, LabError>> {
  const day = await keptDay(session, id);
  if (!day.ok) return day;
  const entry = findTrial(day.value, trial);
  if (!entry.ok) return entry;
  const reading = await rememberTrial(session, day.value, entry.value);
  const { trace } = reading;
  if (trace === null) return done(null);
  const { result } = await trialOutcome(session, day.value, entry.value);
  const force = rememberSeries(reading, inputOf(day.value.book, entry.value, reading).input);
  const events = result.strokes.flatMap(({ stroke: { hand, number, marks } }) =>
    EVENTS.flatMap((event) => {
      const mark = marks[event];
      return mark === undefined ? [] : [{ timeS: mark.timeS, hand, stroke: number, event }];
    }),
  );
  const { book, row } = day.value;
  const value = (name: RecordingChannel['name']) => {
    const hand = name.startsWith('left') ? 'left' : 'right';
    return name.endsWith('raw') ? rawOf(trace, hand) : force[hand].forceN;
  };
  return done({
    day: row.day,
    date: row.date,
    trial,
    participant: entry.value.row.participant,
    startS: trace.startS,
    rateHz: trace.rateHz,
    channels: channelsOf(value, (hand) => unitOf(book, entry.value.row, hand)),
    events: events.toSorted((a, b) => a.timeS - b.timeS),
    version: session.version,
  });
}

function unitOf({ day }: KeptDay['book'], row: Parameters<typeof sensorWorn>[1], hand: Hand): string {
  const elsewhere = day.traceColumns[hand]?.elsewhere?.unit;
  const worn = sensorWorn(day, row, hand);
  return elsewhere ?? day.sensors.find(({ sensor }) => sensor === worn)?.rawUnit ?? '';
}

/** Raw values on the grid; NaN where a sample was missing and has been filled. */
function rawOf(trace: SampledTrace, hand: Hand): Float64Array | null {
  const channel = trace[hand];
  if (channel === null) return null;
  const values = Float64Array.from(channel.raw);
  for (const { first, last } of channel.gaps) values.fill(NaN, first, last + 1);
  return values;
}
