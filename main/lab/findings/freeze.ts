/** Freezing days under a name: a release, whole or not at all. */
import type { LabError } from '../../../core/base/refusal.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { isPlainCode } from '../../../core/base/table.ts';
import { counted } from '../../../core/base/words.ts';
import type { FreezePreview } from '../../../core/contract/releases.ts';
import { CURVES_TABLE } from '../../../core/dataset/curvefields.ts';
import { pythonLoader, rLoader } from '../../../core/dataset/loaders.ts';
import { methodsText } from '../../../core/dataset/methods.ts';
import { codebookUnder } from '../../../core/dataset/package.ts';
import { poolTable, TABLE_NAMES } from '../../../core/dataset/pool.ts';
import type { DayRow } from '../../store/days.ts';
import type { ReleaseFile, StoredRelease } from '../../store/releases.ts';
import { isStillAllowed, withdrawnMeanwhile } from '../days/exportday.ts';
import type { Done, Progress } from '../kept/jobs.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';
import { keptDay } from '../kept/keptday.ts';
import type { ReleaseAbout } from '../shapes/release.ts';
import { freezeDay, keeper, type FrozenDay, type KeepFile } from './frozenday.ts';
import { Swimmers } from './swimmers.ts';

export interface FreezeOrder {
  readonly name: string;
  /** Days by their id; null for all of the lab folder. */
  readonly days: readonly number[] | null;
}

/** Why a release cannot be called so; null where it can. */
function nameFault({ store }: Session, name: string): LabError | null {
  if (!isPlainCode(name))
    return {
      code: 'bad_input',
      says: `"${name}" is no name for a release: it takes 1 to 64 of the characters A–Z a–z 0–9 _ . -, not dots alone.`,
      todo: 'Give another name.',
    };
  const taken = store.getRelease(name);
  if (taken === null) return null;
  return {
    code: 'bad_input',
    says: `There is a release ${name} already, frozen on ${taken.at.slice(0, 10)}; a release is never altered.`,
    todo: 'Give the new release another name.',
  };
}

/** The days asked for, by code. */
function chosenDays(
  { store }: Session,
  days: readonly number[] | null,
): Outcome<readonly DayRow[], LabError> {
  const rows = store.listDays();
  const chosen = days === null ? rows : rows.filter(({ id }) => days.includes(id));
  const lost = days?.find((id) => !rows.some((row) => row.id === id));
  if (lost !== undefined)
    return failed({
      code: 'not_found',
      says: `There is no day ${lost} in the lab folder.`,
      todo: 'Go back to the list of days.',
    });
  if (chosen.length === 0)
    return failed({
      code: 'bad_input',
      says: 'There is no day in the lab folder to be frozen.',
      todo: 'Open a day first, then freeze.',
    });
  return done(chosen.toSorted((a, b) => (a.day < b.day ? -1 : 1)));
}

/** The ids of days by their codes. */
export function daysByCode(
  { store }: Session,
  codes: readonly string[],
): Outcome<readonly number[], LabError> {
  const known = new Map(store.listDays().map(({ day, id }) => [day, id]));
  const lost = codes.filter((code) => !known.has(code));
  if (lost.length === 0) return done([...new Set(codes)].map((code) => known.get(code)!));
  return failed({
    code: 'not_found',
    says: `There is no day ${lost.join(', ')} in the lab folder; it has ${[...known.keys()].join(', ') || 'none'}.`,
    todo: 'Open the day first, or name one that is there.',
  });
}

/** What a freeze would hold, and why it cannot be made so; nothing is computed. */
export async function tryFreeze(
  session: Session,
  { name, days }: FreezeOrder,
): Promise<Outcome<FreezePreview, LabError>> {
  const chosen = chosenDays(session, days);
  if (!chosen.ok) return chosen;
  const swimmers = new Swimmers();
  const leftOut = { swimmers: 0, trials: 0 };
  const told: { id: number; day: string; trials: number }[] = [];
  for (const { id } of chosen.value) {
    const stored = await keptDay(session, id);
    if (!stored.ok) return stored;
    const { book, row } = stored.value;
    swimmers.addDay(book.roster.map(({ participant }) => participant));
    for (const { participant } of book.trials) swimmers.addTrial(participant.participant);
    leftOut.swimmers += book.leftOut.swimmers;
    leftOut.trials += book.leftOut.trials;
    told.push({ id, day: row.day, trials: book.trials.length });
  }
  const fault = nameFault(session, name);
  return done({ days: told, swimmers: swimmers.list(), leftOut, fault: fault?.says ?? null });
}

/** Freezes days as they stand. What was copied is taken away again where it does not come to an end. */
export async function freezeRelease(
  session: Session,
  order: FreezeOrder,
  progress: Progress,
): Promise<Outcome<Done & { readonly release: StoredRelease }, LabError>> {
  const fault = nameFault(session, order.name);
  if (fault !== null) return failed(fault);
  const chosen = chosenDays(session, order.days);
  if (!chosen.ok) return chosen;
  const files: ReleaseFile[] = [];
  const drop = () => {
    for (const { sha256 } of files) session.store.dropRaw(sha256);
  };
  let frozen: Outcome<StoredRelease, LabError>;
  try {
    frozen = await freezeInto(session, order.name, chosen.value, files, progress);
  } catch (error) {
    drop();
    if (!progress.signal.aborted) throw error;
    return failed({
      code: 'cancelled',
      says: 'Nothing was frozen: it was cancelled.',
      todo: 'Freeze again when you like.',
    });
  }
  if (!frozen.ok) {
    drop();
    return frozen;
  }
  const { name, sha256, about } = frozen.value;
  const { days, swimmers } = about as ReleaseAbout;
  const trials = days.reduce((sum, day) => sum + day.trials, 0);
  const says = `Release ${name}: ${counted(days.length, 'day')}, ${counted(swimmers, 'swimmer')}, ${counted(trials, 'trial')}, frozen as ${sha256.slice(0, 12)}….`;
  return done({ day: null, says, release: frozen.value });
}

async function freezeInto(
  session: Session,
  name: string,
  chosen: readonly DayRow[],
  files: ReleaseFile[],
  progress: Progress,
): Promise<Outcome<StoredRelease, LabError>> {
  const keep = keeper(session, files);
  const days: FrozenDay[] = [];
  const codes = new Set<string>();
  const books = new Map<number, FrozenDay['book']>();
  progress.total(await trialsIn(session, chosen));
  for (const { id } of chosen) {
    const frozen = await freezeDay(session, id, keep, progress);
    if (!frozen.ok) return frozen;
    const book = rosterOnly(frozen.value.book);
    days.push({ ...frozen.value, book });
    books.set(id, book);
    for (const { participant } of book.roster) codes.add(participant);
  }
  const described = await keepDescription(keep, name, session.version, days);
  if (!described.ok) return described;
  for (const [id, book] of books)
    if (!(await isStillAllowed(session, id, book))) return withdrawnMeanwhile('Nothing was frozen');
  const about: ReleaseAbout = { days: days.map(({ about: own }) => own), swimmers: codes.size };
  const { version } = session;
  const added = session.store.addRelease({
    name,
    version,
    about,
    at: now(),
    who: operatorOf(session),
    files,
  });
  return added.ok ? added : storeFault(added.error);
}

/** What consents are looked at in; marks and judgements of a day are let go. */
function rosterOnly(book: FrozenDay['book']): FrozenDay['book'] {
  return { ...book, trials: [], points: [], refused: [] };
}

async function trialsIn(session: Session, chosen: readonly DayRow[]): Promise<number> {
  let trials = 0;
  for (const { id } of chosen) {
    const stored = await keptDay(session, id);
    trials += stored.ok ? stored.value.book.trials.length : 0;
  }
  return trials;
}

/** Field lists, codebook, methods and loaders, as they are now: an export years later describes what there was. */
async function keepDescription(
  keep: KeepFile,
  name: string,
  version: string,
  days: readonly FrozenDay[],
): Promise<Outcome<unknown, LabError>> {
  const tables = [...TABLE_NAMES.map(poolTable), CURVES_TABLE];
  const title = `Release ${name}: testing days ${days.map(({ about }) => about.day).join(', ')}`;
  const texts = {
    'fields.json': `${JSON.stringify(tables, null, 2)}\n`,
    'README.md': codebookUnder(title, version, tables),
    'METHODS.md': methodsText(
      days.map(({ methods }) => methods),
      version,
    ),
    'load.py': pythonLoader(),
    'load.R': rLoader(tables),
  };
  for (const [path, text] of Object.entries(texts)) {
    const kept = await keep(path, text);
    if (!kept.ok) return kept;
  }
  return done(null);
}
