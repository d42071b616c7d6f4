/** Datasets in, one pool out. Contract: formats.md section 4, pool. */
import { createHash } from 'node:crypto';
import { basename, resolve } from 'node:path';
import { guardText, quoteText, unguardText } from '../../../core/base/csv.ts';
import { codebookUnder, tablePackage, type PackagedFile } from '../../../core/dataset/package.ts';
import {
  poolDatasets,
  poolTable,
  TABLE_NAMES,
  type Pool,
  type PoolInput,
  type PoolRefusal,
  type TableName,
} from '../../../core/dataset/pool.ts';
import { readDatasetFolder, type DatasetFolder } from '../../files/datasetfolder.ts';
import { writeFolder, type OutFile } from '../../files/outfolder.ts';
import { outFault, settle, whyNotWritten } from '../../files/outplace.ts';
import { parquetBytes, typedColumn } from '../../files/parquet.ts';
import { VERSION } from '../kept/version.ts';

export interface PoolOrder {
  readonly folders: readonly string[];
  readonly out: string;
  readonly lab: string | null;
  readonly parquet: boolean;
  readonly replace: boolean;
}

export type PoolOutcome =
  | { readonly kind: 'misplaced'; readonly says: string }
  | { readonly kind: 'nothing'; readonly says: string; readonly refused: readonly PoolRefusal[] }
  | { readonly kind: 'written'; readonly pool: Pool };

/** Joins datasets and puts the pool under `out`, whole or not at all. `onFolder` is told how many are read. */
export async function makePool(
  order: PoolOrder,
  onFolder: (done: number, total: number) => void = () => undefined,
): Promise<PoolOutcome> {
  const inputs = order.folders.map((path) => ({ path, name: `the dataset ${basename(resolve(path))}` }));
  const fault = await outFault(order.out, inputs, order.replace);
  if (fault !== null) return { kind: 'misplaced', says: fault };
  const read: DatasetFolder[] = [];
  const unread: PoolRefusal[] = [];
  for (const [index, path] of order.folders.entries()) {
    const folder = await readDatasetFolder(path);
    if (folder.ok) read.push(folder.value);
    else unread.push({ day: '', file: basename(resolve(path)), reason: folder.error });
    onFolder(index + 1, order.folders.length);
  }
  const joined = poolDatasets(read.map(toInput), order.lab);
  const pool: Pool = { days: joined.days, refused: [...unread, ...joined.refused] };
  const nothing = (says: string): PoolOutcome => ({ kind: 'nothing', says, refused: pool.refused });
  if (pool.days.length === 0) return nothing('No dataset could be pooled.');
  try {
    await writeFolder(await settle(resolve(order.out)), poolFiles(pool, read, order), order.replace);
  } catch (error) {
    return nothing(
      `The pool could not be written to ${order.out}: ${whyNotWritten(error)}. OUT is as it was.`,
    );
  }
  return { kind: 'written', pool };
}

function toInput({ name, day, tables }: DatasetFolder): PoolInput {
  const bytes = TABLE_NAMES.map((table) => tables.get(table)?.sha256 ?? '').join();
  return { name, day, tables, bytes };
}

/**
 * Rows of a pool's table with the day first: by day, then as in their dataset, where text is guarded already; what the
 * pool refused stands last.
 */
function* rowsOf(pool: Pool, table: TableName): Generator<readonly string[]> {
  for (const { day, rows } of pool.days) for (const row of rows.get(table)!) yield [day, ...row];
  if (table === 'refused')
    for (const { day, file, reason } of pool.refused) yield [day, guardText(file), '', guardText(reason)];
}

function poolFiles(
  pool: Pool,
  read: readonly DatasetFolder[],
  order: PoolOrder,
): ReadonlyMap<string, OutFile> {
  const files = new Map<string, OutFile>();
  const packaged = new Map<string, PackagedFile>();
  const tables = TABLE_NAMES.map(poolTable);
  for (const { name, fields } of tables) {
    const lines = [`${fields.map((field) => field.name).join(',')}\n`];
    for (const row of rowsOf(pool, name)) lines.push(`${row.map(quoteText).join(',')}\n`);
    const text = lines.join('');
    const path = `${name}.csv`;
    files.set(path, text);
    const sha256 = createHash('sha256').update(text).digest('hex');
    packaged.set(name, { path, bytes: Buffer.byteLength(text), sha256 });
  }
  if (order.parquet) for (const [path, make] of parquetFiles(pool)) files.set(path, { make });
  const days = pool.days.map(({ day }) => day);
  const json = (value: unknown) => `${JSON.stringify(value, null, 2)}\n`;
  const title = `Front-crawl testing days ${days.join(', ')}`;
  files.set(
    'datapackage.json',
    json(tablePackage({ name: 'lanebench-pool', title, days }, VERSION, tables, packaged)),
  );
  files.set('README.md', codebookUnder(`Testing days ${days.join(', ')}`, VERSION, tables));
  files.set('provenance.json', json(provenance(pool, read, order.lab)));
  return files;
}

/** Hive's name for the partition of rows without a value. */
const NO_DAY = '__HIVE_DEFAULT_PARTITION__';

/** Each table of each day as Parquet, made when it is written. */
function* parquetFiles(pool: Pool): Generator<readonly [string, () => Uint8Array]> {
  for (const table of TABLE_NAMES) {
    const fields = poolTable(table).fields.slice(1);
    const byDay = new Map<string, (readonly string[])[]>(pool.days.map(({ day }) => [day, []]));
    for (const [day, ...row] of rowsOf(pool, table)) {
      const key = day === '' ? NO_DAY : day!;
      byDay.set(key, byDay.get(key) ?? []);
      byDay.get(key)!.push(row);
    }
    for (const [day, rows] of byDay) {
      const make = () =>
        parquetBytes(
          fields.map(({ name, type }, k) =>
            typedColumn(
              name,
              type,
              rows.map((row) => (type === 'string' ? unguardText(row[k]!) : row[k]!)),
            ),
          ),
        );
      yield [`tables/${table}/day=${day}/part-0.parquet`, make];
    }
  }
}

/** Each day's own provenance, as its dataset had it. */
function provenance(pool: Pool, read: readonly DatasetFolder[], lab: string | null): object {
  const of = (name: string, day: string): unknown => {
    const folder = read.find((own) => own.name === name && (own.day === null || own.day === day));
    if (folder === undefined || folder.day !== null) return folder?.provenance ?? null;
    return (folder.provenance as { readonly days?: Record<string, unknown> } | null)?.days?.[day] ?? null;
  };
  return {
    program: { name: 'lanebench', version: VERSION },
    parameters: { lab },
    days: Object.fromEntries(pool.days.map(({ day, from }) => [day, of(from.name, from.day)])),
  };
}
