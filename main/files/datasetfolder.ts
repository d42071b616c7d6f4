/**
 * Reads a dataset (formats.md section 3) or a pool of datasets (section 4) back: tables as text, with the column `day`
 * in a pool only. Every table is small enough to be read whole.
 */
import { existsSync } from 'node:fs';
import { basename, join, resolve } from 'node:path';
import { failed, done, type Outcome } from '../../core/base/refusal.ts';
import { TABLE_NAMES, type TableName } from '../../core/dataset/pool.ts';
import { sha256OfFile } from './hash.ts';
import { parseTextTable, readText } from './texttable.ts';

/** A table with its cells as they are written, quotes resolved. */
export interface RawTable {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** The file's text, without its byte order mark. */
  readonly text: string;
  readonly sha256: string;
}

export interface DatasetFolder {
  /** The folder's own name, for sentences and tables: never where it lies. */
  readonly name: string;
  /** Null for a pool. */
  readonly day: string | null;
  readonly tables: ReadonlyMap<TableName, RawTable>;
  /** provenance.json; null where it is absent or no JSON. */
  readonly provenance: unknown;
}

async function readJson(path: string): Promise<unknown> {
  if (!existsSync(path)) return null;
  const text = await readText(path, basename(path));
  try {
    return text.ok ? (JSON.parse(text.value) as unknown) : null;
  } catch {
    return null;
  }
}

/** Reads a folder; the failure is a sentence. */
export async function readDatasetFolder(folder: string): Promise<Outcome<DatasetFolder, string>> {
  const name = basename(resolve(folder));
  if (!existsSync(folder)) return failed(`There is no folder ${folder}.`);
  const tables = new Map<TableName, RawTable>();
  for (const table of TABLE_NAMES) {
    const file = `${table}.csv`;
    const path = join(folder, file);
    if (!existsSync(path)) continue;
    const text = await readText(path, file);
    if (!text.ok) return failed(`${name}: ${text.error.reason}`);
    const parsed = parseTextTable(text.value, file, []);
    if (!parsed.ok) return failed(`${name}: ${parsed.error.reason}`);
    const unclosed = parsed.value.unclosed[0];
    if (unclosed !== undefined)
      return failed(`${name}: ${file} line ${unclosed} opens a quote and does not close it.`);
    tables.set(table, {
      columns: parsed.value.header,
      rows: [...parsed.value.rows].map(({ cells }) => cells),
      text: text.value,
      sha256: await sha256OfFile(path),
    });
  }
  const trials = tables.get('trials');
  if (trials === undefined || !trials.columns.includes('trial'))
    return failed(
      `${name} is no dataset: it has no trials.csv with a column trial. Give a folder that "process" or "pool" wrote.`,
    );
  const described = (await readJson(join(folder, 'datapackage.json'))) as { readonly day?: unknown } | null;
  const day = typeof described?.day === 'string' ? described.day : null;
  const isPool = trials.columns[0] === 'day';
  if (!isPool && day === null)
    return failed(
      `${name} does not say which day it is of: its datapackage.json has no "day". Process the day again.`,
    );
  const provenance = await readJson(join(folder, 'provenance.json'));
  return done({ name, day: isPool ? null : day, tables, provenance });
}
