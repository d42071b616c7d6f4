/** A look at an archive: what lies in it, which of it are tables and traces, and the map that is proposed for it. */
import { existsSync, readFileSync, openSync, readSync, closeSync } from 'node:fs';
import { writeFile } from 'node:fs/promises';
import { basename, join, resolve } from 'node:path';
import { largest } from '../../../core/base/extent.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { isMissing, parseNumber } from '../../../core/base/table.ts';
import type { TraceLook } from '../../../core/gather/curves.ts';
import type { ArchiveTable } from '../../../core/gather/lists.ts';
import { proposeMap, type ProposedMap } from '../../../core/gather/propose.ts';
import { listArchive, type FoundFile } from '../../files/archive.ts';
import { containerReader } from '../../files/container.ts';
import { decodeText, readEncoded } from '../../files/encoded.ts';
import { settle } from '../../files/outplace.ts';
import { parseTextTable } from '../../files/texttable.ts';

/** Files that may be tables, by their endings, and how large one is at most, bytes. */
const TEXT = /\.(?:csv|txt|tsv)$/i;
const MOST_TABLE = 1 << 22;
/** How much of a trace is looked at, bytes. */
const LOOK_BYTES = 1 << 18;
/** Rows that tell a table of words from a trace. */
const ROWS_LOOKED_AT = 5;

/** Proposes a map for the folder of an archive and writes it. Fails with a sentence. */
export async function proposeFor(
  folder: string,
  mapPath: string,
): Promise<Outcome<ProposedMap, { readonly kind: 'misplaced' | 'nothing'; readonly says: string }>> {
  if (existsSync(mapPath))
    return failed({
      kind: 'misplaced',
      says: `${mapPath} exists; a map is never written over: choose another name.`,
    });
  if (!existsSync(folder)) return failed({ kind: 'nothing', says: `There is no folder ${folder}.` });
  const root = await settle(resolve(folder));
  try {
    const found = await listArchive(root);
    const tables = await tablesOf(root, found);
    const proposed = proposeMap({
      folder: basename(root),
      paths: found.filter(({ fault }) => fault === null).map(({ path }) => path),
      tables,
      trace: (path) => lookAtTrace(join(root, path), path),
    });
    await writeFile(mapPath, `${JSON.stringify(proposed.map, null, 2)}\n`, { flag: 'wx' });
    return done(proposed);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === undefined) throw error;
    return failed({ kind: 'nothing', says: `The folder cannot be read, or the map not written (${code}).` });
  }
}

/** The text files that hold a table of words, in the order of their paths. */
async function tablesOf(root: string, found: readonly FoundFile[]): Promise<readonly ArchiveTable[]> {
  const tables: ArchiveTable[] = [];
  for (const { path, bytes, fault } of found) {
    if (fault !== null || !TEXT.test(path) || bytes > MOST_TABLE) continue;
    const start = headOf(join(root, path), 1 << 14);
    if (start === null || looksLikeTrace(textOf(start).text)) continue;
    const { encoding } = textOf(start);
    const plain = await readEncoded(join(root, path), encoding);
    const text = plain.ok || encoding !== null ? plain : await readEncoded(join(root, path), FALLBACK);
    if (!text.ok) continue;
    const table = parseTextTable(text.value, path, []);
    if (table.ok && table.value.header.length > 1)
      tables.push({ table: table.value, encoding: plain.ok ? encoding : FALLBACK });
  }
  return tables;
}

/** What text is read as that is no UTF-8: common practice, no source. */
const FALLBACK = 'windows-1252';

function headOf(absolute: string, most: number): Uint8Array | null {
  let file;
  try {
    file = openSync(absolute, 'r');
    const buffer = Buffer.alloc(most);
    return buffer.subarray(0, readSync(file, buffer, 0, most, 0));
  } catch {
    return null;
  } finally {
    if (file !== undefined) closeSync(file);
  }
}

/** The text of a file's beginning, up to its last whole line, and the encoding that must be named to read it. */
function textOf(bytes: Uint8Array): { readonly text: string; readonly encoding: string | null } {
  const isWide = bytes[0] === 0xff || bytes[0] === 0xfe;
  const end = isWide ? bytes.length - (bytes.length % 2) : bytes.lastIndexOf(10) + 1 || bytes.length;
  const plain = decodeText(bytes.subarray(0, end), null);
  if (plain.ok) return { text: plain.value, encoding: null };
  const other = decodeText(bytes.subarray(0, end), FALLBACK);
  return { text: other.ok ? other.value : '', encoding: FALLBACK };
}

interface Lines {
  readonly header: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** Header and rows of a text's beginning; null where it has none. */
function linesOf(text: string): Lines | null {
  const head = parseTextTable(text, '', []);
  if (!head.ok || head.value.header.length < 2) return null;
  return { header: head.value.header, rows: [...head.value.rows].map(({ cells }) => cells) };
}

function isNumeric(cell: string): boolean {
  return isMissing(cell.trim()) || parseNumber(cell.trim()) !== null;
}

/** A trace is numbers below its header and the row of units. */
function looksLikeTrace(text: string): boolean {
  const lines = linesOf(text);
  if (lines === null) return false;
  const rows = lines.rows.slice(1, 1 + ROWS_LOOKED_AT);
  return rows.length > 2 && rows.every((cells) => cells.every(isNumeric));
}

function lookAtTrace(absolute: string, path: string): TraceLook | null {
  const container = containerReader(path);
  if (container !== null) {
    const read = container(readFileSync(absolute));
    if (!read.ok) return null;
    const { signals } = read.value;
    const longest = largest(signals.map(({ values }) => values.length));
    const own = signals.filter(({ values }) => values.length === longest);
    return {
      columns: own.map(({ name }) => name),
      values: own.map(({ values }) => values),
      rateHz: own[0]!.rateHz,
    };
  }
  const bytes = headOf(absolute, LOOK_BYTES);
  const lines = bytes === null ? null : linesOf(textOf(bytes).text);
  if (lines === null) return null;
  // A file that is longer than the look ends in a row that may be cut; the row of units holds no numbers.
  const rows = lines.rows
    .slice(0, -1)
    .filter((cells) => cells.some((cell) => parseNumber(cell.trim()) !== null));
  const values = lines.header.map((_, at) =>
    Float64Array.from(rows, (cells) => parseNumber((cells[at] ?? '').trim()) ?? NaN),
  );
  return rows.length < 4 ? null : { columns: lines.header, values, rateHz: null };
}
