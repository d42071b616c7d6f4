/**
 * A release read back, a day's table at a time. Whoever does not consent now is not in what is read, whatever they said
 * when it was frozen: the release itself stays as it is.
 */
import { readFile } from 'node:fs/promises';
import type { LabError } from '../../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import type { Shown } from '../../../core/base/shown.ts';
import { namesAny, namesNobody, type Names } from '../../../core/deck/veil.ts';
import type { TableName } from '../../../core/dataset/pool.ts';
import { parseTextTable } from '../../files/texttable.ts';
import type { ReleaseFile, StoredRelease } from '../../store/releases.ts';
import type { Session } from '../kept/session.ts';
import { keptDay } from '../kept/keptday.ts';
import {
  PROVENANCE_SHAPE,
  RELEASE_SHAPE,
  type FrozenProvenance,
  type ReleaseAbout,
} from '../shapes/release.ts';
import { readKept, readText } from '../shapes/shape.ts';
import { dayPath } from './frozenday.ts';

export interface FrozenTable {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** A day of a release, of those who consent now. */
export interface OpenDay {
  readonly day: string;
  /** Swimmers of the day's dataset, as they may be named. */
  readonly swimmers: readonly Shown<string>[];
  /** For consent that was withdrawn since. */
  readonly leftOut: { readonly swimmers: number; readonly trials: number };
  /** Tells of a text whether it names one of them, or a trial of theirs. */
  readonly names: Names;
  readonly table: (name: TableName | 'curves') => Promise<Outcome<FrozenTable, LabError>>;
  /** SHA-256 of each trial's samples, by trial. */
  readonly samples: () => ReadonlyMap<string, string>;
  readonly provenance: () => Promise<Outcome<FrozenProvenance, LabError>>;
}

export interface OpenRelease {
  readonly stored: StoredRelease;
  readonly about: ReleaseAbout;
  /** A content that is of no day. */
  readonly text: (path: string) => Promise<Outcome<string, LabError>>;
  /** Days in code order; one is in memory at a time. */
  readonly day: (code: string) => Promise<Outcome<OpenDay, LabError>>;
}

/** Opens a release; an error where there is none of that name. */
export function openRelease(session: Session, name: string): Outcome<OpenRelease, LabError> {
  const stored = session.store.getRelease(name);
  if (stored === null)
    return failed({
      code: 'not_found',
      says: `There is no release ${name} in the lab folder.`,
      todo: 'Look at the list of releases for its name.',
    });
  const about = aboutOf(stored);
  const text = async (path: string) => {
    const file = session.store.releaseFiles(name, path).find((own) => own.path === path);
    return file === undefined ? gone(name, path) : contentText(session, name, file);
  };
  const day = async (code: string) => openDay(session, name, code);
  return done({ stored, about, text, day });
}

export function aboutOf(stored: StoredRelease): ReleaseAbout {
  return readKept(RELEASE_SHAPE, stored.about, `release ${stored.name}`, stored.shape);
}

async function openDay(session: Session, name: string, code: string): Promise<Outcome<OpenDay, LabError>> {
  const start = dayPath(code);
  const files = new Map(
    session.store.releaseFiles(name, start).map((file) => [file.path.slice(start.length), file]),
  );
  const read = async (path: string): Promise<Outcome<string, LabError>> => {
    const file = files.get(path);
    return file === undefined ? gone(name, start + path) : contentText(session, name, file);
  };
  const whole = async (table: string): Promise<Outcome<FrozenTable, LabError>> => {
    const text = await read(`${table}.csv`);
    if (!text.ok) return text;
    const parsed = parseTextTable(text.value, `${table}.csv`, []);
    if (!parsed.ok) return damaged(name, parsed.error.reason);
    const { header, rows } = parsed.value;
    return done({ columns: header, rows: [...rows].map(({ cells }) => cells) });
  };
  const consenting = await consentingOn(session, code);
  if (!consenting.ok) return consenting;
  const [participants, trials] = [await whole('participants'), await whole('trials')];
  if (!participants.ok) return participants;
  if (!trials.ok) return trials;
  const all = columnOf(participants.value, 'participant');
  const hidden = new Set(all.filter((swimmer) => !consenting.value.has(swimmer)));
  const own = trials.value.columns.indexOf('participant');
  const trialsOfHidden = new Set(
    trials.value.rows.flatMap((row) =>
      hidden.has(row[own]!) ? [row[trials.value.columns.indexOf('trial')]!] : [],
    ),
  );
  const names = hidden.size === 0 ? namesNobody : namesAny(new Set([...hidden, ...trialsOfHidden]));
  return done({
    day: code,
    swimmers: all.flatMap((swimmer) => consenting.value.get(swimmer) ?? []),
    leftOut: { swimmers: hidden.size, trials: trialsOfHidden.size },
    names,
    table: async (table) => {
      const found =
        table === 'trials' ? trials : table === 'participants' ? participants : await whole(table);
      return found.ok && hidden.size > 0 ? done(withoutHidden(found.value, hidden, names)) : found;
    },
    samples: () => samplesOf(files, trialsOfHidden),
    provenance: async () => {
      const text = await read('provenance.json');
      if (!text.ok) return text;
      const { inputs, ...rest } = readText(PROVENANCE_SHAPE, text.value, `day ${code} of release ${name}`);
      const kept = inputs.filter(
        ({ path, trials: of }) => !names(path) && !of.some((trial) => trialsOfHidden.has(trial)),
      );
      return done({ ...rest, inputs: kept });
    },
  });
}

/** The swimmers of a day who consent as it stands now; none of a day that is no longer in the lab folder. */
async function consentingOn(
  session: Session,
  code: string,
): Promise<Outcome<ReadonlyMap<string, Shown<string>>, LabError>> {
  const row = session.store.listDays().find(({ day }) => day === code);
  if (row === undefined) return done(new Map());
  const stored = await keptDay(session, row.id);
  if (!stored.ok) return stored;
  return done(new Map(stored.value.book.roster.map(({ participant }) => [participant, participant])));
}

function columnOf({ columns, rows }: FrozenTable, name: string): readonly string[] {
  const place = columns.indexOf(name);
  return rows.map((row) => row[place]!);
}

/** Rows of others; where a table names no swimmer, the rows whose text names nobody hidden. */
function withoutHidden(table: FrozenTable, hidden: ReadonlySet<string>, names: Names): FrozenTable {
  const place = table.columns.indexOf('participant');
  const rows =
    place < 0
      ? table.rows.filter((row) => !row.some((cell) => names(cell)))
      : table.rows.filter((row) => !hidden.has(row[place]!));
  return { ...table, rows };
}

const SAMPLES = /^samples\/(.+)\.parquet$/;

function samplesOf(
  files: ReadonlyMap<string, ReleaseFile>,
  hidden: ReadonlySet<string>,
): ReadonlyMap<string, string> {
  return new Map(
    [...files].flatMap(([path, { sha256 }]) => {
      const trial = SAMPLES.exec(path)?.[1];
      return trial === undefined || hidden.has(trial) ? [] : [[trial, sha256] as const];
    }),
  );
}

/** Where a content of a release lies; an error where it is not what was frozen. */
export async function contentPath(
  { store }: Session,
  release: string,
  { path, sha256 }: Pick<ReleaseFile, 'path' | 'sha256'>,
): Promise<Outcome<string, LabError>> {
  const { state } = await store.checkRaw(sha256);
  if (state === 'whole') return done(store.rawPath(sha256));
  return state === 'missing' ? gone(release, path) : damaged(release, `${path} is no longer what was frozen`);
}

async function contentText(
  session: Session,
  release: string,
  file: ReleaseFile,
): Promise<Outcome<string, LabError>> {
  const path = await contentPath(session, release, file);
  return path.ok ? done(await readFile(path.value, 'utf8')) : path;
}

function gone(release: string, path: string) {
  return damaged(release, `${path} is missing from the lab folder`);
}

function damaged(release: string, why: string): { readonly ok: false; readonly error: LabError } {
  return failed({
    code: 'lab_folder',
    says: `The release ${release} cannot be read whole: ${why.replace(/\.$/, '')}.`,
    todo: 'Take the lab folder from a backup, or freeze the days anew under another name.',
  });
}
