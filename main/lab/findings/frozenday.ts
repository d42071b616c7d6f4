/**
 * A day as it stands, made into the contents of a release: the tables of its dataset as `lanebench process` would write
 * them, its provenance, and the samples of its trials. One trial is in memory at a time.
 */
import type { LabError } from '../../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { datasetTables } from '../../../core/dataset/dataset.ts';
import { curvePoints, curves, type CurvePoint } from '../../../core/dataset/curvefields.ts';
import { rosterRow } from '../../../core/dataset/dayexport.ts';
import { printTable } from '../../../core/dataset/package.ts';
import type { MethodsOf } from '../../../core/dataset/methods.ts';
import type { TrialRow } from '../../../core/dataset/trialfields.ts';
import type { Daybook, TrialEntry } from '../../../core/day/book.ts';
import type { Refusal } from '../../../core/base/refusal.ts';
import { addAll, largest, smallest } from '../../../core/base/extent.ts';
import { trialForces } from '../../../core/trial/trial.ts';
import { insidePath } from '../../files/source.ts';
import type { ReleaseFile } from '../../store/releases.ts';
import { provenanceOf } from '../days/dataset.ts';
import { decisionsOn, statusOf } from '../days/status.ts';
import { samplesParquet } from '../days/samples.ts';
import { decidedOn } from '../kept/decided.ts';
import { namesHidden } from '../kept/deckhidden.ts';
import { dayEvidence, restsOnDamage } from '../kept/evidence.ts';
import type { Progress } from '../kept/jobs.ts';
import { inputOf, readTrialFiles, type UsedFile } from '../kept/process.ts';
import { storeFault, type Session } from '../kept/session.ts';
import { keptDay, type KeptDay } from '../kept/keptday.ts';
import { trialOutcome, type CheckedOutcome } from '../kept/outcome.ts';
import { notTakenOver } from './renewal.ts';
import type { ReleaseAbout } from '../shapes/release.ts';

/** The folder of a day inside a release. */
export function dayPath(day: string): string {
  return `days/${day}/`;
}

export interface FrozenDay {
  readonly about: ReleaseAbout['days'][number];
  /** The day as it was frozen, to be held against consents at the end. */
  readonly book: Daybook;
  /** What a methods paragraph says of it. */
  readonly methods: MethodsOf;
}

/** Keeps a content of the release; its path lies inside the release. */
export type KeepFile = (path: string, bytes: Uint8Array | string) => Promise<Outcome<ReleaseFile, LabError>>;

/** {@link KeepFile} into the lab folder; what was kept joins `files`. */
export function keeper({ store }: Session, files: ReleaseFile[]): KeepFile {
  return async (path, bytes) => {
    const content = await store.addRawBytes(typeof bytes === 'string' ? Buffer.from(bytes) : bytes);
    if (!content.ok) return storeFault(content.error);
    files.push({ path, ...content.value });
    return done(files.at(-1)!);
  };
}

/** Keeps what a day comes to; an aborted signal rejects. */
export async function freezeDay(
  session: Session,
  id: number,
  keep: KeepFile,
  progress: Progress,
): Promise<Outcome<FrozenDay, LabError>> {
  const stored = await keptDay(session, id);
  if (!stored.ok) return stored;
  const day = stored.value;
  const damaged = await dayEvidence(session, day);
  if (damaged.length > 0) return restsOnDamage(`The day ${day.row.day} was not frozen`, damaged);
  const book = decidedBook(session, day);
  const start = dayPath(day.row.day);
  const records: TrialRow[] = [];
  const refused: Refusal[] = [...book.refused];
  const inputs = new Inputs(day.used);
  const rows: CurvePoint[] = [];
  const rates: number[] = [];
  for (const entry of book.trials) {
    progress.signal.throwIfAborted();
    const outcome = await trialOutcome(session, day, entry);
    if (outcome.evidence.length > 0)
      return restsOnDamage(`The day ${day.row.day} was not frozen`, outcome.evidence);
    const older = await notTakenOver(session, day, entry, outcome.version);
    if (older !== null) return failed(older);
    records.push({ entry, result: outcome.result });
    addAll(refused, outcome.refused);
    inputs.add(day, entry, outcome);
    const made = await seriesOf(day, entry);
    if (made !== null) {
      const { trace, force } = made;
      const kept = await keep(`${start}samples/${entry.row.trial}.parquet`, samplesParquet(trace, force));
      if (!kept.ok) return kept;
      const { maxGapMs } = book.day.protocol.accept;
      addAll(rows, curvePoints(entry.row, trace, force, outcome.result, maxGapMs));
      rates.push(trace.rateHz);
    }
    progress.step();
  }
  for (const table of datasetTables(book, records, refused)) {
    const kept = await keep(`${start}${table.name}.csv`, printTable(table));
    if (!kept.ok) return kept;
  }
  const table = { fields: curves, rows: rows.map((row) => curves.map(({ of }) => of(row))) };
  const curved = await keep(`${start}curves.csv`, printTable(table));
  if (!curved.ok) return curved;
  const provenance = provenanceOf(book, session.version, inputs.list());
  const kept = await keep(`${start}provenance.json`, `${JSON.stringify(provenance, null, 2)}\n`);
  if (!kept.ok) return kept;
  const { date } = day.row;
  const about = { day: day.row.day, date, swimmers: book.roster.length, trials: records.length };
  const rateHz = rates.length === 0 ? null : ([smallest(rates), largest(rates)] as const);
  const methods = { day: book.day, swimmers: about.swimmers, trials: about.trials, rateHz };
  return done({ about, book, methods });
}

/** The day as its dataset has it: with each trial's status, and the hand areas that were kept. */
export function decidedBook(session: Session, { book, row }: KeptDay): Daybook {
  const decisions = decisionsOn(session, row.id);
  const names = namesHidden(session, row.id);
  const { areas } = decidedOn(session, row.id);
  const trials = book.trials.map((entry) => {
    const { status, reason } = statusOf(entry, decisions.get(entry.row.trial), names);
    return { ...entry, row: { ...entry.row, status, exclusion_reason: reason } };
  });
  const roster = book.roster.map((swimmer) => rosterRow(swimmer, areas.get(swimmer.participant)));
  return { ...book, trials, roster };
}

/** The files that a day's numbers came from, each with the trials that it is of; none for the day's own tables. */
class Inputs {
  private readonly byPath = new Map<string, { sha256: string; trials: string[] }>();

  constructor(tables: readonly UsedFile[]) {
    for (const { path, sha256 } of tables) this.byPath.set(path, { sha256, trials: [] });
  }

  /** Adds what of a trial's files was read. */
  add({ hashes }: KeptDay, { row, films }: TrialEntry, outcome: CheckedOutcome): void {
    const traces = row.trace !== null && outcome.trace !== null ? [row.trace] : [];
    const read = [...films].flatMap(([camera, { file }]) =>
      outcome.films.some((film) => film.camera === camera && film.frameTimesS.length > 0) ? [file] : [],
    );
    for (const path of [...traces, ...read]) {
      const sha256 = hashes.get(insidePath(path) ?? '');
      if (sha256 === undefined) continue;
      const known = this.byPath.get(path) ?? { sha256, trials: [] };
      known.trials.push(row.trial);
      this.byPath.set(path, known);
    }
  }

  list(): readonly (UsedFile & { readonly trials: readonly string[] })[] {
    return [...this.byPath]
      .toSorted(([a], [b]) => (a < b ? -1 : 1))
      .map(([path, { sha256, trials }]) => ({ path, sha256, trials }));
  }
}

/** A trial's trace and the forces of its hands; null where it has no trace. Films are not read. */
async function seriesOf({ source, book }: KeptDay, entry: TrialEntry) {
  if (entry.row.trace === null) return null;
  const reading = await readTrialFiles(source, book, { ...entry, films: new Map() });
  const { trace } = reading;
  return trace === null ? null : { trace, force: trialForces(inputOf(book, entry, reading).input) };
}
