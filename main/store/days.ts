/** Testing days and what was in their folders, revision by revision. */
import type { Outcome } from '../../core/base/refusal.ts';
import { chain } from './acts.ts';
import type { ReadableDb, WritableDb } from './database.ts';
import { attempt, type StoreError } from './errors.ts';

export interface DayFile {
  /** Inside the day folder, with forward slashes. */
  readonly path: string;
  readonly sha256: string;
  readonly bytes: number;
}

export interface DayRow {
  readonly id: number;
  /** The day's code. */
  readonly day: string;
  readonly date: string | null;
  readonly venue: string | null;
  /** The newest revision, from 1. */
  readonly revision: number;
  /** The folder it was last opened from, when and by whom. */
  readonly source: string;
  readonly openedAt: string;
  readonly openedBy: string;
}

interface DayRevision {
  readonly revision: number;
  readonly date: string | null;
  readonly venue: string | null;
  readonly at: string;
  readonly who: string;
}

export interface DayToRecord {
  readonly day: string;
  readonly date: string | null;
  readonly venue: string | null;
  /** The folder it is opened from. Where it lies is no part of what it is: a moved folder makes no revision. */
  readonly source: string;
  readonly files: readonly DayFile[];
  /** ISO 8601 instant. */
  readonly at: string;
  readonly who: string;
}

interface RecordedDay {
  readonly id: number;
  readonly revision: number;
  /** True where this opening made a revision: the day is new, or its files, date or venue differ. */
  readonly changed: boolean;
}

export interface DayReading {
  /** By date, then code; days without a date last. */
  readonly listDays: () => DayRow[];
  readonly getDay: (id: number) => DayRow | null;
  /** Files of a revision, by path; the newest revision where none is named. */
  readonly dayFiles: (id: number, revision?: number) => DayFile[];
  /** Oldest first. */
  readonly revisions: (id: number) => DayRevision[];
}

export interface DayWriting {
  /** Records an opening of a day and, where the day has changed, a new revision; old ones stay. */
  readonly recordDay: (day: DayToRecord) => Outcome<RecordedDay, StoreError>;
}

const DAYS = `
  SELECT d.id, d.code AS day, r.date, r.venue, r.revision, o.source, o.at AS openedAt, o.who AS openedBy
  FROM day d
  JOIN day_opening o ON o.id = (SELECT max(id) FROM day_opening WHERE day = d.id)
  JOIN day_revision r ON r.day = d.id
    AND r.revision = (SELECT max(revision) FROM day_revision WHERE day = d.id)`;

const FILES = `
  SELECT path, sha256, bytes FROM day_file
  WHERE day = @day
    AND revision = coalesce(@revision, (SELECT max(revision) FROM day_revision WHERE day = @day))
  ORDER BY path`;

export function dayReading(db: ReadableDb): DayReading {
  return {
    listDays: () => db.all<DayRow>(`${DAYS} ORDER BY r.date IS NULL, r.date, d.code`),
    getDay: (id) => db.get<DayRow>(`${DAYS} WHERE d.id = ?`, id) ?? null,
    dayFiles: (id, revision) => db.all<DayFile>(FILES, { day: id, revision: revision ?? null }),
    revisions: (id) =>
      db.all<DayRevision>(
        'SELECT revision, date, venue, at, who FROM day_revision WHERE day = ? ORDER BY revision',
        id,
      ),
  };
}

export function dayWriting(db: WritableDb, folder: string): DayWriting {
  return {
    recordDay: (day) => attempt(folder, () => db.transaction(() => recordDay(db, day))),
  };
}

/** True where a revision of a day, a recording of the bench, a file that came in or a release is made of this content. */
export function isNamed(db: ReadableDb, sha256: string): boolean {
  const named = db.get(
    `SELECT 1 FROM day_file WHERE sha256 = @sha256
     UNION ALL SELECT 1 FROM recording WHERE sha256 = @sha256
     UNION ALL SELECT 1 FROM arrival WHERE sha256 = @sha256
     UNION ALL SELECT 1 FROM release_file WHERE sha256 = @sha256
     LIMIT 1`,
    { sha256 },
  );
  return named !== undefined;
}

/** True where one of them has that many bytes. */
export function lengthKnown(db: ReadableDb, bytes: number): boolean {
  const known = db.get(
    `SELECT 1 FROM day_file WHERE bytes = @bytes
     UNION ALL SELECT 1 FROM recording WHERE bytes = @bytes
     UNION ALL SELECT 1 FROM arrival WHERE bytes = @bytes AND sha256 IS NOT NULL
     UNION ALL SELECT 1 FROM release_file WHERE bytes = @bytes
     LIMIT 1`,
    { bytes },
  );
  return known !== undefined;
}

/** Records an opening inside a transaction. */
export function recordDay(db: WritableDb, day: DayToRecord): RecordedDay {
  const known = db.get<{ id: number }>('SELECT id FROM day WHERE code = ?', day.day);
  const id = known?.id ?? db.run('INSERT INTO day (code) VALUES (?)', day.day);
  const latest = db.get<DayRevision>(
    'SELECT revision, date, venue, at, who FROM day_revision WHERE day = ? ORDER BY revision DESC LIMIT 1',
    id,
  );
  const changed = latest === undefined || differs(db, id, latest, day);
  const revision = (latest?.revision ?? 0) + (changed ? 1 : 0);
  if (changed) addRevision(db, id, revision, day);
  const opening = db.run(
    'INSERT INTO day_opening (day, revision, source, at, who) VALUES (?, ?, ?, ?, ?)',
    id,
    revision,
    day.source,
    day.at,
    day.who,
  );
  chain(db, 'opening', opening);
  return { id, revision, changed };
}

function differs(db: ReadableDb, id: number, latest: DayRevision, day: DayToRecord): boolean {
  if (latest.date !== day.date || latest.venue !== day.venue) return true;
  const before = new Map(
    db.all<DayFile>(FILES, { day: id, revision: latest.revision }).map(({ path, sha256 }) => [path, sha256]),
  );
  return (
    before.size !== day.files.length || day.files.some(({ path, sha256 }) => before.get(path) !== sha256)
  );
}

function addRevision(db: WritableDb, id: number, revision: number, day: DayToRecord): void {
  db.run(
    'INSERT INTO day_revision (day, revision, date, venue, at, who) VALUES (?, ?, ?, ?, ?, ?)',
    id,
    revision,
    day.date,
    day.venue,
    day.at,
    day.who,
  );
  for (const file of day.files) {
    db.run(
      'INSERT INTO day_file (day, revision, path, sha256, bytes) VALUES (?, ?, ?, ?, ?)',
      id,
      revision,
      file.path,
      file.sha256,
      file.bytes,
    );
  }
}
