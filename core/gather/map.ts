/** A map: how an archive's names and tables become a day folder. Contract: formats.md section 5. */
import { jsonFaultSays } from '../base/jsonfault.ts';
import { z } from 'zod';
import '../base/schemawords.ts';
import { addAll } from '../base/extent.ts';
import { quoted } from '../base/plaintext.ts';
import { done, failed, type Outcome, type Refusal } from '../base/refusal.ts';
import { DAY_FORMAT, readDay, type Day } from '../day/day.ts';
import { columnsOf, type TableName } from '../day/tables.ts';
import { parsePattern, type NamePattern } from './pattern.ts';

export const MAP_FORMAT = 'lanebench-map/1';

/** Tables that a map may take over, the first two as formats.md has them. */
export const MAPPED_TABLES = [
  'roster',
  'trials',
  'calibration',
  'zeros',
  'checks',
  'sync',
  'events',
  'strokes',
] as const satisfies readonly TableName[];

export type MappedTable = (typeof MAPPED_TABLES)[number];

/** Columns of trials.csv that the names of files fill. */
const BY_NAME = ['trace', 'video'];

export type FileKind = 'trace' | 'film';

export interface FileRule {
  readonly kind: FileKind;
  readonly pattern: NamePattern;
}

/** How one table of the archive becomes a table of the day. */
export interface TableRule {
  /** Path below the folder, or the name alone. */
  readonly file: string;
  /** The archive's column by the day's. */
  readonly columns: Readonly<Record<string, string>>;
  /** The day's words by the archive's, by the day's column. */
  readonly values: Readonly<Record<string, Readonly<Record<string, string>>>>;
  /** One value for a column, by the day's column. */
  readonly fixed: Readonly<Record<string, string>>;
  /** A label of the WHATWG Encoding Standard; null where the file tells it. */
  readonly encoding: string | null;
}

export interface GatherMap {
  /** What the lab calls it; null where it has no name. */
  readonly name: string | null;
  readonly day: Day;
  /** day.json of the day folder, as text. */
  readonly dayText: string;
  readonly files: readonly FileRule[];
  readonly tables: Readonly<Partial<Record<MappedTable, TableRule>>> & { readonly roster: TableRule };
}

/** A map as read, with what of it was refused and what was passed over. */
export interface ReadMap {
  readonly map: GatherMap;
  /** Fields of its `day` that break a rule. */
  readonly refused: readonly Refusal[];
  /** Sentences on what has no meaning in a map. */
  readonly remarks: readonly string[];
}

const word = z.union([z.string(), z.number(), z.boolean()], 'takes text').transform(String);

const tableRule = z.looseObject({
  file: z.string().min(1, 'takes the name of a file in the folder'),
  columns: z.record(z.string(), z.string()).default({}),
  values: z.record(z.string(), z.record(z.string(), word)).default({}),
  fixed: z.record(z.string(), word).default({}),
  encoding: z.string().nullish(),
});

const mapSchema = z.looseObject({
  format: z.literal(MAP_FORMAT),
  name: z.string().nullish(),
  day: z.looseObject({}, 'takes the fields of a day.json'),
  files: z.array(z.looseObject({ kind: z.enum(['trace', 'film']), name: z.string() })).default([]),
  roster: tableRule,
  trials: tableRule.nullish(),
  calibration: tableRule.nullish(),
  zeros: tableRule.nullish(),
  checks: tableRule.nullish(),
  sync: tableRule.nullish(),
  events: tableRule.nullish(),
  strokes: tableRule.nullish(),
});

const TABLE_KEYS = ['file', 'columns', 'values', 'fixed', 'encoding'];

/** Reads the JSON text of a map; fails with one sentence where it is none, or where a part of it cannot be followed. */
export function readMap(jsonText: string): Outcome<ReadMap, string> {
  let root: unknown;
  try {
    root = JSON.parse(jsonText);
  } catch (error) {
    return failed(`The map is not JSON: ${jsonFaultSays(error)}; correct it.`);
  }
  const read = mapSchema.safeParse(root);
  if (!read.success) {
    const issue = read.error.issues[0]!;
    const where = issue.path.join('.');
    return failed(`${where === '' ? 'It' : where} ${issue.message}; correct it in the map.`);
  }
  const given = read.data;
  const day = readDay(JSON.stringify({ format: DAY_FORMAT, ...given.day }));
  if (!day.ok) return failed(`The map’s day is none: ${day.error.reason}`);
  const files: FileRule[] = [];
  for (const { kind, name } of given.files) {
    const pattern = parsePattern(name);
    if (!pattern.ok) return failed(`The pattern ${quoted(name)} ${pattern.error}; correct it in the map.`);
    files.push({ kind, pattern: pattern.value });
  }
  const remarks = unknownKeys(root as object, 'the map', Object.keys(mapSchema.shape));
  const tables: Partial<Record<MappedTable, TableRule>> = {};
  for (const name of MAPPED_TABLES) {
    const table = given[name];
    if (table == null) continue;
    addAll(remarks, unknownKeys(table, name, TABLE_KEYS));
    const rule = toRule(name, table, remarks);
    if (!rule.ok) return rule;
    tables[name] = rule.value;
  }
  const map: GatherMap = {
    name: given.name ?? null,
    day: day.value.day,
    dayText: `${JSON.stringify({ format: DAY_FORMAT, ...given.day }, null, 2)}\n`,
    files,
    tables: tables as GatherMap['tables'],
  };
  return done({ map, refused: day.value.refused, remarks });
}

function unknownKeys(given: object, where: string, known: readonly string[]): string[] {
  const unknown = Object.keys(given).filter((key) => !known.includes(key));
  return unknown.map((key) => `${quoted(key)} of ${where} has no meaning here and was passed over.`);
}

/** A table's rule without what the day has no column for. */
function toRule(
  name: MappedTable,
  table: z.infer<typeof tableRule>,
  remarks: string[],
): Outcome<TableRule, string> {
  const known = columnsOf(name).filter((column) => name !== 'trials' || !BY_NAME.includes(column));
  const kept = <T>(given: Readonly<Record<string, T>>, part: string): Record<string, T> => {
    const entries = Object.entries(given);
    for (const [column] of entries)
      if (!known.includes(column))
        remarks.push(
          `${name}.${part} names ${quoted(column)}, which ${name}.csv does not take; it was passed over.`,
        );
    return Object.fromEntries(entries.filter(([column]) => known.includes(column)));
  };
  const columns = kept(table.columns, 'columns');
  const fixed = kept(table.fixed, 'fixed');
  const both = Object.keys(columns).find((column) => column in fixed);
  if (both !== undefined)
    return failed(
      `${name}.columns and ${name}.fixed both give ${both}; take it out of one of the two in the map.`,
    );
  const needed = name === 'roster' ? 'participant' : null;
  if (needed !== null && !(needed in columns))
    return failed(
      `${name}.columns names no column for ${needed}; say in the map which column holds the codes.`,
    );
  const values = kept(table.values, 'values');
  return done({ file: table.file, columns, fixed, values, encoding: table.encoding ?? null });
}
