/** A day folder in, a dataset out: tables, Data Package, codebook and provenance. */
import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import { dayParameters } from '../../../core/dataset/dayparameters.ts';
import { codebook, dataPackage, printTable, type PackagedFile } from '../../../core/dataset/package.ts';
import { datasetTables, type DatasetTable } from '../../../core/dataset/dataset.ts';
import type { Refusal } from '../../../core/base/refusal.ts';
import { writeFolder, type OutFile } from '../../files/outfolder.ts';
import { outFault, settle, whyNotWritten } from '../../files/outplace.ts';
import { folderSource } from '../../files/source.ts';
import type { Daybook } from '../../../core/day/book.ts';
import { openDay, processDay, type ProcessedDay, type UsedFile } from '../kept/process.ts';
import { VERSION } from '../kept/version.ts';
import { sampleFiles } from './samples.ts';

export interface DatasetOrder {
  readonly folder: string;
  readonly out: string;
  readonly replace: boolean;
  /** Whether the samples of every trial go along. */
  readonly samples?: boolean;
  /** The lab folder, where nothing else may be written; absent where there is none to keep away from. */
  readonly home?: string;
}

/** What came of a dataset order; `says` is for the person. */
export type DatasetOutcome =
  | { readonly kind: 'misplaced'; readonly says: string }
  | { readonly kind: 'nothing'; readonly says: string; readonly refused: readonly Refusal[] }
  | { readonly kind: 'written'; readonly processed: ProcessedDay };

/** What OUT must lie apart from. */
function apartFrom({ folder, home }: DatasetOrder): { readonly path: string; readonly name: string }[] {
  const day = { path: folder, name: 'the day folder' };
  return home === undefined ? [day] : [day, { path: home, name: 'the lab folder' }];
}

/**
 * Processes a day folder and puts its dataset under `out`, whole or not at all. A replacement that a crash interrupted
 * is finished first. `onTrial` is told how many trials are done.
 */
export async function makeDataset(
  order: DatasetOrder,
  onTrial: (done: number, total: number) => void,
): Promise<DatasetOutcome> {
  const fault = await outFault(order.out, apartFrom(order), order.replace);
  if (fault !== null) return { kind: 'misplaced', says: fault };
  const [folder, out] = [await settle(resolve(order.folder)), await settle(resolve(order.out))];
  const nothing = (says: string, refused: readonly Refusal[] = []): DatasetOutcome => ({
    kind: 'nothing',
    says,
    refused,
  });
  if (!existsSync(folder)) return nothing(`There is no folder ${order.folder}.`);
  const source = folderSource(folder);
  const opened = await openDay(source);
  if (!opened.ok) return nothing(opened.error.reason);
  const processed = await processDay(source, opened.value, onTrial);
  if (processed.records.length === 0 && opened.value.book.leftOut.trials === 0)
    return nothing('No trial could be processed.', processed.refused);
  try {
    const files = new Map<string, OutFile>(datasetFiles(processed, VERSION));
    if (order.samples === true)
      for (const [path, file] of sampleFiles(source, processed)) files.set(path, file);
    await writeFolder(out, files, order.replace);
  } catch (error) {
    return nothing(
      `The dataset could not be written to ${order.out}: ${whyNotWritten(error)}. OUT is as it was.`,
    );
  }
  return { kind: 'written', processed };
}

/** The dataset's files, by name. The same day gives the same text, whenever and wherever it is made. */
function datasetFiles(processed: ProcessedDay, version: string): ReadonlyMap<string, string> {
  const { book } = processed.opened;
  const tables = datasetTables(book, processed.records, processed.refused);
  const files = new Map<string, string>();
  const packaged = new Map<DatasetTable['name'], PackagedFile>();
  for (const table of tables) {
    const text = printTable(table);
    const path = `${table.name}.csv`;
    files.set(path, text);
    packaged.set(table.name, {
      path,
      bytes: Buffer.byteLength(text),
      sha256: createHash('sha256').update(text).digest('hex'),
    });
  }
  const json = (value: unknown) => `${JSON.stringify(value, null, 2)}\n`;
  files.set('datapackage.json', json(dataPackage(book.day.day, version, tables, packaged)));
  files.set('README.md', codebook(book.day.day, version, tables));
  files.set('provenance.json', json(provenance(processed, version)));
  return files;
}

function provenance(processed: ProcessedDay, version: string): object {
  const { book } = processed.opened;
  const inputs = new Map(processed.used.map(({ path, sha256 }) => [path, sha256]));
  const listed = [...inputs]
    .toSorted(([a], [b]) => (a < b ? -1 : 1))
    .map(([path, sha256]) => ({ path, sha256 }));
  return provenanceOf(book, version, listed);
}

/** What a day's provenance.json says, with these inputs. */
export function provenanceOf(book: Daybook, version: string, inputs: readonly UsedFile[]): object {
  return {
    program: { name: 'lanebench', version },
    parameters: {
      day: dayParameters(book.day),
      water_density: 'Tanaka et al. 2001, a5 = 999.974950 kg/m3, no term for air or compressibility',
      gravity: 'GRS80 normal gravity − 3.086e-6 s-2 × altitude',
      filter_edges: 'odd extension of 3 × (order + 1) samples, steady-state initial conditions',
      filter_correction: 'single-pass cutoff corrected on the tangent frequency for two passes',
    },
    inputs,
    left_out_for_consent: book.leftOut,
  };
}
