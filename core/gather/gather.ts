/**
 * What becomes of an archive: the day's tables as text, which file is copied where, and what is said of every other one.
 * Pure: the same map, tables and names give the same. Contract: formats.md section 5.
 */
import { addAll } from '../base/extent.ts';
import { printCell } from '../base/csv.ts';
import type { Refusal } from '../base/refusal.ts';
import { mentions } from '../arrival/names.ts';
import { MAIN_CAMERA } from '../clock/clock.ts';
import { dayTableText } from '../dataset/dayfolder.ts';
import { filmHolds, type TrialRow } from '../day/tables.ts';
import type { FileKind, GatherMap, MappedTable } from './map.ts';
import { missingParts } from './missing.ts';
import { foldName } from './pattern.ts';
import { type People, peopleOf } from './people.ts';
import { placer, type Reading } from './place.ts';
import { furtherTables } from './further.ts';
import type { MappedRows } from './tables.ts';

/** A file below the archive's folder. */
export interface ArchiveFile {
  /** With forward slashes. */
  readonly path: string;
  /** Why it cannot be copied, as the end of a sentence that begins with its name; null where it can. */
  readonly fault: string | null;
  /** What else is known of it and keeps it from any place: a table of the map, the map itself; null for any other. */
  readonly is: 'table' | 'map' | null;
}

export interface ArchiveInput {
  readonly map: GatherMap;
  /** The map's tables in the day's words. */
  readonly tables: Readonly<Partial<Record<MappedTable, MappedRows>>> & { readonly roster: MappedRows };
  readonly files: readonly ArchiveFile[];
}

/** A file that goes along. */
export interface Copied {
  readonly from: string;
  /** Path in the day folder. */
  readonly to: string;
  readonly kind: FileKind;
  readonly trial: string;
  readonly camera: string;
}

/** A row of gathered.csv: a file that was not copied. */
export interface GatheredRow {
  readonly file: string;
  readonly what: FileKind | 'table' | 'none';
  readonly why: string;
}

export interface Gathered {
  /** Files of the day folder that are text, by path. */
  readonly texts: ReadonlyMap<string, string>;
  readonly copies: readonly Copied[];
  readonly others: readonly GatheredRow[];
  readonly trials: readonly TrialRow[];
  readonly swimmers: number;
  readonly refused: readonly Refusal[];
  /** Sentences about files that were not taken though they matched. */
  readonly doubtful: readonly string[];
  readonly leftOut: { readonly swimmers: number; readonly trials: number; readonly files: number };
  /** What the archive lacks, and what that costs the numbers. */
  readonly missing: readonly string[];
}

/** A taken file, on its way to a trial. */
interface Claim {
  readonly file: string;
  readonly reading: Reading;
}

/** Puts a day folder together from what an archive holds. */
export function gather({ map, tables, files }: ArchiveInput): Gathered {
  const refused: Refusal[] = [];
  for (const mapped of Object.values(tables)) addAll(refused, mapped.refused);
  const isOneTable = tables.trials !== undefined && tables.trials.all.file === tables.roster.all.file;
  const people = peopleOf(tables.roster, tables.trials ?? null, isOneTable);
  addAll(refused, people.refused);
  const sorting = sortFiles(map, people, files);
  const trials = trialRows(people, sorting.claims);
  const copies = copiesOf(sorting.claims, trials);
  const further = furtherTables(tables, people, trials);
  addAll(refused, further.refused);
  const others = [...sorting.others, ...tableRows(files, tables, refused)].toSorted(byFile);
  const texts = new Map([
    ['day.json', map.dayText],
    ['roster.csv', dayTableText('roster', [...people.roster.values()])],
    ['trials.csv', dayTableText('trials', trials)],
    ...further.texts,
    ...videosText(copies),
    ['gathered.csv', gatheredText(others)],
  ]);
  return {
    texts,
    copies,
    others,
    trials,
    swimmers: people.roster.size,
    refused,
    doubtful: sorting.doubtful,
    leftOut: { swimmers: people.withheld.size, ...sorting.leftOut },
    missing: missingParts(map.day, [...people.roster.values()], trials, tables),
  };
}

interface Sorting {
  readonly claims: readonly Claim[];
  readonly others: readonly GatheredRow[];
  readonly doubtful: readonly string[];
  readonly leftOut: { readonly trials: number; readonly files: number };
}

/** Finds the one place of every file; what has none, or more than one, is said. */
function sortFiles(map: GatherMap, people: People, files: readonly ArchiveFile[]): Sorting {
  const cameras = map.day.cameras.map(({ camera }) => camera);
  const place = placer(map.files, people, cameras, map.tables.trials?.values['condition'] ?? {});
  const others: GatheredRow[] = [];
  const doubtful: string[] = [];
  const claims: Claim[] = [];
  const hiddenTrials = new Set(
    people.trials.filter(({ isWithheld }) => isWithheld).map(({ trial }) => trial),
  );
  let hiddenFiles = 0;
  let hiddenDoubts = 0;
  const isHidden = (path: string) => [...people.withheld].some((code) => mentions(withoutEnding(path), code));
  const other = (file: string, what: GatheredRow['what'], why: string, isDoubtful: boolean) => {
    if (isHidden(file)) {
      hiddenFiles++;
      if (isDoubtful) hiddenDoubts++;
      return;
    }
    others.push({ file, what, why });
    if (isDoubtful) doubtful.push(`${file} ${why}; it was not taken.`);
  };
  for (const { path, fault, is } of files) {
    if (is === 'table') continue;
    if (is === 'map') {
      others.push({ file: path, what: 'none', why: 'is the map' });
      continue;
    }
    const placed = place(path);
    if (placed.kind === 'none') other(path, 'none', fault ?? placed.why, false);
    else if (placed.kind === 'doubtful') other(path, placed.what, placed.why, true);
    else if (placed.kind === 'withheld') {
      hiddenFiles++;
      for (const trial of placed.trials) hiddenTrials.add(trial);
      if (placed.isDoubtful) hiddenDoubts++;
    } else {
      const { reading } = placed;
      const why = fault ?? reading.against ?? swimmerFault(people, reading);
      if (why !== null) other(path, reading.kind, why, true);
      else if (reading.kind === 'film' && !filmHolds(people.roster.get(reading.participant)!))
        other(path, 'film', 'is of a swimmer who does not consent to being filmed', false);
      else claims.push({ file: path, reading });
    }
  }
  const byTrial = Map.groupBy(claims, ({ reading }) => foldName(reading.trial));
  const stay = claims.filter((claim) => {
    const why = rivalsOf(claim, byTrial.get(foldName(claim.reading.trial))!);
    if (why !== null) other(claim.file, claim.reading.kind, why, true);
    return why === null;
  });
  if (hiddenDoubts > 0)
    doubtful.push(
      `${hiddenDoubts === 1 ? 'A file' : `${hiddenDoubts} files`} could be of a swimmer without consent and of another one; give such files names that cannot be taken for both.`,
    );
  return { claims: stay, others, doubtful, leftOut: { trials: hiddenTrials.size, files: hiddenFiles } };
}

function withoutEnding(path: string): string {
  return path.replace(/\.[^./]*$/, '');
}

function swimmerFault(people: People, { participant }: Reading): string | null {
  return people.roster.has(participant) ? null : 'is of a swimmer whose row in the roster was refused';
}

/** Why a file cannot have its place: another file has it too, or the files of its trial contradict one another. */
function rivalsOf({ file, reading }: Claim, ofTrial: readonly Claim[]): string | null {
  const rivals = ofTrial.filter(
    (one) =>
      one.file !== file &&
      one.reading.kind === reading.kind &&
      (reading.kind === 'trace' || foldName(one.reading.camera) === foldName(reading.camera)),
  );
  const place = reading.kind === 'trace' ? 'the trace' : `the film of camera ${reading.camera}`;
  if (rivals.length > 0)
    return `is not the only file for ${place} of ${reading.trial}; so is ${rivals.map((one) => one.file).join(', ')}`;
  const said = [...new Set(ofTrial.flatMap(({ reading: { condition } }) => condition ?? []))];
  if (said.length > 1)
    return `is of a trial (${reading.trial}) whose files say different conditions: ${said.join(', ')}`;
  const owners = new Set(ofTrial.map(({ reading: { participant } }) => participant));
  return owners.size > 1 ? `is of a trial code (${reading.trial}) that two swimmers’ files have` : null;
}

/** The rows of trials.csv: the table's in its order, then those that files alone tell of, by code. */
function trialRows(people: People, claims: readonly Claim[]): readonly TrialRow[] {
  const byTrial = Map.groupBy(claims, ({ reading }) => reading.trial);
  const filled = (row: TrialRow): TrialRow => {
    const own = byTrial.get(row.trial) ?? [];
    const film = own.find(({ reading }) => reading.kind === 'film' && reading.camera === MAIN_CAMERA);
    const trace = own.find(({ reading }) => reading.kind === 'trace');
    return {
      ...row,
      attempt: row.attempt ?? own.find(({ reading }) => reading.attempt !== null)?.reading.attempt ?? null,
      condition:
        row.condition ?? own.find(({ reading }) => reading.condition !== null)?.reading.condition ?? null,
      trace: trace === undefined ? null : targetOf(trace),
      video: film === undefined ? null : targetOf(film),
    };
  };
  const standing = people.trials.flatMap(({ row }) => (row === null ? [] : [row]));
  const known = new Set(standing.map(({ trial }) => trial));
  const fresh = [...byTrial]
    .filter(([trial]) => !known.has(trial))
    .toSorted(([a], [b]) => compareCodes(a, b))
    .map(([trial, own]) => ({ ...NO_TIMES, trial, participant: own[0]!.reading.participant }));
  return [...standing, ...fresh].map(filled);
}

/** A trial of which no row tells. */
const NO_TIMES = {
  attempt: null,
  condition: null,
  trace: null,
  video: null,
  left_sensor: null,
  right_sensor: null,
  left_column: null,
  right_column: null,
  section_start_s: null,
  section_end_s: null,
  timing_method: null,
  timing_u_s: null,
  status: 'recorded',
  exclusion_reason: null,
} as const;

/** Codes by their parts, numbers by size: P2-10 comes after P2-9. */
function compareCodes(a: string, b: string): number {
  const parts = (code: string) => code.split(/(\d+)/);
  const [left, right] = [parts(a), parts(b)];
  for (let at = 0; at < Math.min(left.length, right.length); at++) {
    const [one, other] = [left[at]!, right[at]!];
    const difference = at % 2 === 1 ? Number(one) - Number(other) : 0;
    if (difference !== 0) return difference;
    if (one !== other) return one < other ? -1 : 1;
  }
  return left.length - right.length;
}

/** The ending of a trace that is no text stays, so that it is read as what it is. */
const CONTAINERS = /\.(?:edf|bdf|mat)$/i;

function targetOf({ file, reading }: Claim): string {
  const ending = /\.[A-Za-z0-9]{1,10}$/.exec(file)?.[0].toLowerCase() ?? '';
  if (reading.kind === 'film') return `video/${reading.trial}-${reading.camera}${ending}`;
  return `traces/${reading.trial}${CONTAINERS.test(file) ? ending : '.csv'}`;
}

function copiesOf(claims: readonly Claim[], trials: readonly TrialRow[]): readonly Copied[] {
  const order = new Map(trials.map(({ trial }, at) => [trial, at]));
  const copies = claims.map((claim): Copied => {
    const { kind, trial, camera } = claim.reading;
    return { from: claim.file, to: targetOf(claim), kind, trial, camera };
  });
  return copies.toSorted(
    (a, b) => order.get(a.trial)! - order.get(b.trial)! || (a.to < b.to ? -1 : a.to > b.to ? 1 : 0),
  );
}

/** videos.csv, where there are films of further cameras. */
function videosText(copies: readonly Copied[]): readonly (readonly [string, string])[] {
  const rows = copies
    .filter(({ kind, camera }) => kind === 'film' && camera !== MAIN_CAMERA)
    .map(({ trial, camera, to }) => ({ trial, camera, file: to }));
  return rows.length === 0 ? [] : [['videos.csv', dayTableText('videos', rows)]];
}

/** What is said of the tables that the map reads: how many rows, and the places of those refused. */
function tableRows(
  files: readonly ArchiveFile[],
  tables: ArchiveInput['tables'],
  refused: readonly Refusal[],
): readonly GatheredRow[] {
  return files
    .filter(({ is }) => is === 'table')
    .map(({ path }) => {
      const own = Object.entries(tables).filter(([, mapped]) => mapped.all.file === path);
      const places = refused.filter(({ file }) => file === path).map(placeOf);
      const read = `read as ${own.map(([name]) => `${name}.csv`).join(' and ')}`;
      const why = places.length === 0 ? read : `${read}; refused: ${places.join(', ')}`;
      return { file: path, what: 'table', why };
    });
}

/** The place of a refusal without what stood there, which may be a name. */
function placeOf({ line, lastLine, field }: Refusal): string {
  const lines =
    line === null ? 'the file' : lastLine === undefined ? `line ${line}` : `lines ${line} to ${lastLine}`;
  return field === null ? lines : `${lines} (${field})`;
}

function byFile(a: GatheredRow, b: GatheredRow): number {
  return a.file < b.file ? -1 : a.file > b.file ? 1 : 0;
}

function gatheredText(rows: readonly GatheredRow[]): string {
  const lines = rows.map(({ file, what, why }) => [file, what, why].map(printCell).join(','));
  return ['file,what,why', ...lines].map((line) => `${line}\n`).join('');
}
