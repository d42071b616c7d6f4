/** Writes a processed day as a dataset: tables, Data Package, codebook and provenance. */
import { createHash } from 'node:crypto';
import { codebook, dataPackage, printTable, type PackagedFile } from '../../core/datapackage.ts';
import { datasetTables, type DatasetTable } from '../../core/dataset.ts';
import { writeFolder } from '../files/outfolder.ts';
import type { ProcessedDay } from './process.ts';

/** The dataset's files, by name. The same day gives the same text, whenever and wherever it is made. */
export function datasetFiles(processed: ProcessedDay, version: string): ReadonlyMap<string, string> {
  const { book, dayJson } = processed.opened;
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
  files.set('provenance.json', json(provenance(processed, dayJson, version)));
  return files;
}

function provenance(processed: ProcessedDay, dayJson: unknown, version: string): object {
  const inputs = new Map(processed.used.map(({ path, sha256 }) => [path, sha256]));
  return {
    program: { name: 'lanebench', version },
    parameters: {
      day: dayJson,
      water_density: 'Tanaka et al. 2001, a5 = 999.974950 kg/m3, no term for air or compressibility',
      gravity: 'GRS80 normal gravity − 3.086e-6 s-2 × altitude',
      filter_edges: 'odd extension of 3 × (order + 1) samples, steady-state initial conditions',
      filter_correction: 'single-pass cutoff corrected on the tangent frequency for two passes',
    },
    inputs: [...inputs].toSorted(([a], [b]) => (a < b ? -1 : 1)).map(([path, sha256]) => ({ path, sha256 })),
    left_out_for_consent: processed.opened.book.leftOut,
  };
}

/** Puts the dataset of a processed day under `out`; nothing half-written is ever left under that name. */
export async function writeDataset(
  processed: ProcessedDay,
  version: string,
  out: string,
  replace: boolean,
): Promise<void> {
  await writeFolder(out, datasetFiles(processed, version), replace);
}
