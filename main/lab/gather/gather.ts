/** An archive of recordings and a map in, a day folder out. The day folder appears whole or not at all. */
import { existsSync } from 'node:fs';
import { realpath } from 'node:fs/promises';
import { join, relative, resolve, sep } from 'node:path';
import { done, failed, type Outcome, type Refusal } from '../../../core/base/refusal.ts';
import { quoted } from '../../../core/base/plaintext.ts';
import { columnsOf } from '../../../core/day/tables.ts';
import { gather, type ArchiveFile, type Gathered } from '../../../core/gather/gather.ts';
import { type GatherMap, MAPPED_TABLES, readMap, type MappedTable } from '../../../core/gather/map.ts';
import { mapTable, type MappedRows } from '../../../core/gather/tables.ts';
import { foldName } from '../../../core/gather/pattern.ts';
import { listArchive, type FoundFile } from '../../files/archive.ts';
import { readEncoded } from '../../files/encoded.ts';
import { writeFolder, type OutFile } from '../../files/outfolder.ts';
import { outFault, settle, whyNotWritten } from '../../files/outplace.ts';
import { parseTextTable } from '../../files/texttable.ts';

export interface GatherOrder {
  readonly folder: string;
  /** Path of the map. */
  readonly map: string;
  readonly out: string;
  readonly replace: boolean;
  /** The lab folder, where nothing else may be written. */
  readonly home: string;
}

/** What came of it; `says` is for the person. */
export type GatherOutcome =
  | { readonly kind: 'misplaced'; readonly says: string }
  | { readonly kind: 'cancelled'; readonly says: string }
  | { readonly kind: 'nothing'; readonly says: string; readonly gathered: Gathered | null }
  | { readonly kind: 'written'; readonly gathered: Gathered; readonly remarks: readonly string[] };

/** How a person follows it and ends it. */
export interface GatherFollowing {
  readonly signal?: AbortSignal;
  readonly onFile?: (done: number, total: number) => void;
}

/** Gathers an archive into a day folder. Ended by its signal, it leaves nothing behind. */
export async function gatherFolder(order: GatherOrder, following: GatherFollowing): Promise<GatherOutcome> {
  try {
    return await gatherNow(order, following);
  } catch (error) {
    if (following.signal?.aborted !== true) throw error;
    return { kind: 'cancelled', says: 'Cancelled; nothing was written.' };
  }
}

async function gatherNow(order: GatherOrder, following: GatherFollowing): Promise<GatherOutcome> {
  const nothing = (says: string, gathered: Gathered | null = null): GatherOutcome => ({
    kind: 'nothing',
    says,
    gathered,
  });
  const fault = await outFault(
    order.out,
    [
      { path: order.folder, name: 'the folder of recordings' },
      { path: order.home, name: 'the lab folder' },
    ],
    order.replace,
  );
  if (fault !== null) return { kind: 'misplaced', says: fault };
  const text = await readEncoded(resolve(order.map), null);
  if (!text.ok) return nothing(`The map ${order.map} ${text.error}.`);
  const read = readMap(text.value);
  if (!read.ok) return nothing(read.error);
  if (!existsSync(order.folder)) return nothing(`There is no folder ${order.folder}.`);
  const folder = await settle(resolve(order.folder));
  const looked = await lookThrough(folder, read.value.map, following.signal, resolve(order.map));
  if (!looked.ok) return nothing(looked.error);
  const found = gather(looked.value);
  const gathered = { ...found, refused: [...read.value.refused, ...found.refused] };
  if (gathered.trials.length === 0 && gathered.leftOut.trials === 0)
    return nothing(
      'The folder gives no trial: no row of a table, and no file whose name tells one.',
      gathered,
    );
  try {
    await writeFolder(await settle(resolve(order.out)), filesOf(folder, gathered), order.replace, following);
  } catch (error) {
    following.signal?.throwIfAborted();
    return nothing(
      `The day folder could not be written to ${order.out}: ${whyNotWritten(error)}. OUT is as it was.`,
    );
  }
  return { kind: 'written', gathered, remarks: read.value.remarks };
}

function filesOf(folder: string, { texts, copies }: Gathered): ReadonlyMap<string, OutFile> {
  const files = new Map<string, OutFile>(texts);
  for (const { from, to } of copies) files.set(to, { copyOf: join(folder, from) });
  return files;
}

/** Lists an archive and reads the map's tables. */
async function lookThrough(
  folder: string,
  map: GatherMap,
  signal: AbortSignal | undefined,
  mapPath: string,
): Promise<Outcome<Parameters<typeof gather>[0], string>> {
  let found;
  try {
    found = await listArchive(folder, signal);
  } catch (error) {
    signal?.throwIfAborted();
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    return failed(`The folder cannot be read (${code}).`);
  }
  const tables: Partial<Record<MappedTable, MappedRows>> = {};
  for (const name of MAPPED_TABLES) {
    const rule = map.tables[name];
    if (rule === undefined) continue;
    const file = fileNamed(found, rule.file);
    if (!file.ok) return failed(`The map takes ${name}.csv from ${quoted(rule.file)}, ${file.error}.`);
    const text = await readEncoded(join(folder, file.value), rule.encoding);
    if (!text.ok) return failed(`${file.value} ${text.error}.`);
    const sources = [...Object.values(rule.columns), ...columnsOf(name)];
    const table = parseTextTable(text.value, file.value, sources);
    if (!table.ok) return failed(table.error.reason);
    const mapped = mapTable(name, table.value, rule, map.day.date ?? '9999-12-31');
    if (mapped.isLost) return failed(lostSaid(mapped.refused, file.value, name));
    tables[name] = mapped;
  }
  const own = await belowFolder(folder, mapPath);
  const ofTables = new Set(Object.values(tables).map(({ all }) => all.file));
  const files = found.map(({ path, fault }): ArchiveFile => ({
    path,
    fault,
    is: ofTables.has(path) ? 'table' : path === own ? 'map' : null,
  }));
  return done({ map, tables: tables as Parameters<typeof gather>[0]['tables'], files });
}

function lostSaid(refused: readonly Refusal[], file: string, name: MappedTable): string {
  return (
    refused[0]?.reason ?? `The map names no column of ${file} that tells whose the rows of ${name}.csv are.`
  );
}

/** The file that a map names by its path, or by its name alone; the failure goes on from its name. */
function fileNamed(found: readonly FoundFile[], named: string): Outcome<string, string> {
  const wanted = foldName(named.replaceAll('\\', '/').replace(/^(?:\.\/)+/, ''));
  const exact = found.find(({ path }) => path === named);
  if (exact !== undefined) return done(exact.path);
  const alike = found.filter(({ path }) => foldName(path) === wanted);
  const ways = alike.length > 0 ? alike : found.filter(({ path }) => foldName(path).endsWith(`/${wanted}`));
  if (ways.length === 1) return done(ways[0]!.path);
  return failed(
    ways.length === 0
      ? 'and the folder has no such file'
      : `and the folder has several: ${ways.map(({ path }) => path).join(', ')}; give the path of one`,
  );
}

/** The path of a file below a folder; null where it lies elsewhere. */
async function belowFolder(folder: string, file: string): Promise<string | null> {
  const path = relative(folder, await realpath(file))
    .split(sep)
    .join('/');
  return path.startsWith('..') ? null : path;
}
