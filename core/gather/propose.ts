/** A map proposed for an archive that nobody has described; a person looks at what it comes to before anything is copied. */
import { isCode } from '../base/table.ts';
import { kindOf } from '../arrival/names.ts';
import { DAY_FORMAT } from '../day/day.ts';
import { type ProposedColumns, proposeColumns, type TraceLook } from './curves.ts';
import { type ArchiveTable, proposeTables } from './lists.ts';
import { MAP_FORMAT } from './map.ts';
import { proposePatterns, type ProposedPattern } from './names.ts';

export interface ArchiveLook {
  /** The folder's own name. */
  readonly folder: string;
  /** Every file below it, with forward slashes. */
  readonly paths: readonly string[];
  /** The files that could be read as tables with a header. */
  readonly tables: readonly ArchiveTable[];
  /** A look at a trace; null where there is none. Asked for by the path of one. */
  readonly trace: (path: string) => TraceLook | null;
}

export interface ProposedMap {
  /** As MAP.json has it. */
  readonly map: object;
  /** What a person should look at. */
  readonly remarks: readonly string[];
}

/** A date of a name: 2026-03-14, 2026_03_14, 20260314. */
const DATE = /(?<!\d)(20\d\d)([-_.]?)(0[1-9]|1[0-2])\2(0[1-9]|[12]\d|3[01])(?!\d)/;

/** Proposes a map. */
export function proposeMap(look: ArchiveLook): ProposedMap {
  const remarks: string[] = [];
  const date = dateOf(look);
  if (date === null) remarks.push('No name tells the day’s date; write it into the map’s day.');
  const { rules, codes, leftovers } = proposeTables(look.tables, date ?? '9999-12-31');
  if (rules.roster === undefined)
    remarks.push('No table tells who swims (codes and consents); name one as the map’s roster.');
  else if (rules.roster.columns['consent'] === undefined)
    remarks.push(
      'No column tells who consents: nobody’s files are taken. Name the column, or, where all have given it, write "fixed": { "consent": "given" }.',
    );
  for (const says of leftovers) remarks.push(`Columns that give nothing, in ${says}.`);
  const tableFiles = new Set(Object.values(rules).map(({ file }) => file));
  const own = look.paths.filter((path) => !tableFiles.has(path));
  const ofKind = (kind: 'trace' | 'film') => own.filter((path) => kindOf(path) === kind);
  const traces = tracePatterns(look, ofKind('trace'), codes);
  if (traces.columns === null)
    remarks.push('No file with a swimmer’s code in its name could be read as a trace.');
  for (const says of traces.columns?.remarks ?? []) remarks.push(`${traces.example}: ${says}`);
  const films = proposePatterns('film', ofKind('film'), codes);
  const day = look.folder.replaceAll(/[^A-Za-z0-9_.-]+/g, '-').slice(0, 64);
  const column = (name: string | null) => (name === null ? null : { column: name });
  const cameras = films.some(({ name }) => name.includes('{camera}')) ? [] : [{ camera: 'A' }];
  const map = {
    format: MAP_FORMAT,
    day: {
      format: DAY_FORMAT,
      day: isCode(day) ? day : 'archive',
      date,
      cameras,
      trace_columns: {
        time: traces.columns?.time ?? null,
        left: column(traces.columns?.left ?? null),
        right: column(traces.columns?.right ?? null),
      },
    },
    files: [...traces.patterns, ...films],
    ...rules,
  };
  return { map, remarks };
}

/** The patterns whose files are traces of the most common columns, and those columns. */
function tracePatterns(
  look: ArchiveLook,
  paths: readonly string[],
  codes: readonly string[],
): {
  readonly patterns: readonly ProposedPattern[];
  readonly columns: ProposedColumns | null;
  readonly example: string;
} {
  const patterns = proposePatterns('trace', paths, codes);
  for (const path of paths) {
    if (proposePatterns('trace', [path], codes).length === 0) continue;
    const seen = look.trace(path);
    if (seen === null) continue;
    const columns = proposeColumns(seen);
    if (columns.left !== null || columns.right !== null) return { patterns, columns, example: path };
  }
  return { patterns, columns: null, example: '' };
}

function dateOf({ folder, paths }: ArchiveLook): string | null {
  const counts = new Map<string, number>();
  for (const text of [folder, ...paths]) {
    const [, year, , month, day] = DATE.exec(text) ?? [];
    if (year === undefined) continue;
    const date = `${year}-${month}-${day}`;
    counts.set(date, (counts.get(date) ?? 0) + 1);
  }
  const most = [...counts].toSorted(([a, m], [b, n]) => n - m || (a < b ? -1 : 1))[0];
  return most?.[0] ?? null;
}
