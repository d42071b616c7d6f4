/** The tables of a day's folder as they lie in the lab folder, revision by revision, and which of their rows are one swimmer's. */
import { readFile } from 'node:fs/promises';
import type { TextTable } from '../../../core/base/table.ts';
import { columnsOf, TABLE_NAMES, type TableName } from '../../../core/day/tables.ts';
import type { IsOwn } from '../../files/ownrows.ts';
import { insidePath } from '../../files/source.ts';
import { parseTextTable } from '../../files/texttable.ts';
import type { DayFile } from '../../store/days.ts';
import type { Session } from '../kept/session.ts';

/** A file of a revision that is no trace and no film: a table, or day.json. */
export interface HeldTable extends DayFile {
  /** One character per byte (latin1): every other byte is given back as it was. */
  readonly text: string;
  /** Null where it is no table, or cannot be read as one. */
  readonly table: TextTable | null;
}

export interface HeldRevision {
  readonly revision: number;
  readonly tables: readonly HeldTable[];
  /** Every file of the revision. */
  readonly files: readonly DayFile[];
  /** Files that cannot be read, or are no longer what came in. */
  readonly damaged: readonly string[];
}

const NAMES: ReadonlyMap<string, TableName> = new Map(TABLE_NAMES.map((name) => [`${name}.csv`, name]));

/** Every revision of a day, oldest first; a day that is run here has none with files. */
export async function revisionsOf({ store }: Session, day: number): Promise<readonly HeldRevision[]> {
  const revisions: HeldRevision[] = [];
  for (const { revision } of store.revisions(day)) {
    const files = store.dayFiles(day, revision);
    const [tables, damaged]: [HeldTable[], string[]] = [[], []];
    for (const file of files) {
      if (file.path !== 'day.json' && !NAMES.has(file.path)) continue;
      if ((await store.checkRaw(file.sha256)).state !== 'whole') {
        damaged.push(file.path);
        continue;
      }
      const bytes = await readFile(store.rawPath(file.sha256));
      tables.push({ ...file, text: bytes.toString('latin1'), table: tableOf(bytes, file.path) });
    }
    revisions.push({ revision, tables, files, damaged });
  }
  return revisions;
}

function tableOf(bytes: Buffer, path: string): TextTable | null {
  const name = NAMES.get(path);
  if (name === undefined) return null;
  const parsed = parseTextTable(bytes.toString('utf8'), path, columnsOf(name));
  return parsed.ok ? parsed.value : null;
}

/** Cells of a table's rows, by column. */
function* cellsOf(revision: HeldRevision, file: string): Generator<(column: string) => string> {
  const table = revision.tables.find(({ path }) => path === file)?.table ?? null;
  if (table === null) return;
  for (const { cells } of table.rows)
    yield (column) => {
      const place = table.header.indexOf(column);
      return place < 0 ? '' : (cells[place] ?? '').trim();
    };
}

/** What the tables of a revision tell of a swimmer, and of the others. */
export interface Told {
  readonly isThere: boolean;
  readonly trials: ReadonlySet<string>;
  /** Paths inside the day of their traces and films. */
  readonly paths: ReadonlySet<string>;
  /** Codes of others and of their trials, and the paths of their files. */
  readonly others: ReadonlySet<string>;
  readonly othersPaths: ReadonlySet<string>;
}

/** @param before trials that earlier revisions gave the swimmer */
export function toldOf(revision: HeldRevision, participant: string): Told {
  const [trials, paths] = [new Set<string>(), new Set<string>()];
  const [others, othersPaths] = [new Set<string>(), new Set<string>()];
  let isThere = false;
  const sort = (isOwn: boolean, path: string) => {
    const inside = path === '' ? null : insidePath(path);
    if (inside !== null) (isOwn ? paths : othersPaths).add(inside);
  };
  for (const of of cellsOf(revision, 'roster.csv'))
    if (of('participant') === participant) isThere = true;
    else others.add(of('participant'));
  for (const of of cellsOf(revision, 'trials.csv')) {
    const isOwn = of('participant') === participant;
    isThere ||= isOwn;
    if (isOwn) trials.add(of('trial'));
    else for (const code of [of('trial'), of('participant')]) others.add(code);
    for (const column of ['trace', 'video']) sort(isOwn, of(column));
  }
  for (const of of cellsOf(revision, 'videos.csv')) sort(trials.has(of('trial')), of('file'));
  for (const code of ['', participant, ...trials]) others.delete(code);
  return { isThere, trials, paths, others, othersPaths };
}

/** Which rows of any table of the day are the swimmer's. */
export function ownRowsOf(participant: string, trials: ReadonlySet<string>): IsOwn {
  return (of) => of('participant') === participant || trials.has(of('trial') ?? '');
}
