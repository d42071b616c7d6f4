/** A day folder in, a dataset out: tables, Data Package, codebook and provenance. */
import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import { dayParameters } from '../../../core/dataset/dayparameters.ts';
import { codebook, dataPackage, printTable, type PackagedFile } from '../../../core/dataset/package.ts';
import { datasetTables, printTrial, type DatasetTable } from '../../../core/dataset/dataset.ts';
import type { TrialRow } from '../../../core/dataset/trialfields.ts';
import { addAll } from '../../../core/base/extent.ts';
import type { Refusal } from '../../../core/base/refusal.ts';
import { writeFolder, type OutFile } from '../../files/outfolder.ts';
import { outFault, settle, whyNotWritten } from '../../files/outplace.ts';
import { folderSource, type DaySource } from '../../files/source.ts';
import type { Daybook, TrialEntry } from '../../../core/day/book.ts';
import { openDay, type OpenedDay, type UsedFile } from '../kept/process.ts';
import { processTrials } from '../kept/processday.ts';
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
  | { readonly kind: 'written'; readonly book: Daybook; readonly refused: readonly Refusal[] };

/** What OUT must lie apart from. */
function apartFrom({ folder, home }: DatasetOrder): { readonly path: string; readonly name: string }[] {
  const day = { path: folder, name: 'the day folder' };
  return home === undefined ? [day] : [day, { path: home, name: 'the lab folder' }];
}

/**
 * Processes a day folder and puts its dataset under `out`, whole or not at all. A replacement that a crash interrupted
 * is finished first. A trial's rows are written when it is computed: few trials are in memory at a time. `onTrial` is
 * told of each, and of how many there are.
 */
export async function makeDataset(
  order: DatasetOrder,
  onTrial: (record: TrialRow, total: number) => void,
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
  const { book } = opened.value;
  if (book.trials.length === 0 && book.leftOut.trials === 0)
    return nothing('No trial could be processed.', book.refused);
  const making = new Making(source, opened.value, onTrial);
  try {
    await writeFolder(out, making.files(order.samples === true), order.replace);
  } catch (error) {
    if (making.bug !== null) throw making.bug.error;
    return nothing(
      `The dataset could not be written to ${order.out}: ${whyNotWritten(error)}. OUT is as it was.`,
    );
  }
  return { kind: 'written', book, refused: making.refused };
}

/** Pieces of a table that are written at a time, characters. */
const PIECE = 1 << 16;

/** A dataset that is being made: computing the trials writes the longest table, and what else it needs is gathered. */
class Making {
  readonly refused: Refusal[];
  /** What went wrong in computing, which is no fault of the place that is written to. */
  bug: { readonly error: unknown } | null = null;
  private readonly source: DaySource;
  private readonly opened: OpenedDay;
  private readonly onTrial: (record: TrialRow, total: number) => void;
  private readonly used: UsedFile[];
  private readonly sampled: TrialEntry[] = [];
  private trialRows = '';

  constructor(source: DaySource, opened: OpenedDay, onTrial: (record: TrialRow, total: number) => void) {
    this.source = source;
    this.opened = opened;
    this.onTrial = onTrial;
    this.refused = [...opened.book.refused];
    this.used = [...opened.used];
  }

  /** The dataset's files, by name. The same day gives the same text, whenever and wherever it is made. */
  async *files(samples: boolean): AsyncGenerator<readonly [string, OutFile]> {
    const { book } = this.opened;
    const packaged = new Map<DatasetTable['name'], PackagedFile>();
    const heads = new Map(datasetTables(book, [], []).map((table) => [table.name, printTable(table)]));
    const strokes = createHash('sha256');
    let bytes = 0;
    const pieces = async function* (this: Making) {
      for await (const text of this.strokePieces(heads.get('strokes')!)) {
        const piece = Buffer.from(text);
        strokes.update(piece);
        bytes += piece.byteLength;
        yield piece;
      }
    };
    yield ['strokes.csv', { pieces: pieces.bind(this) }];
    packaged.set('strokes', { path: 'strokes.csv', bytes, sha256: strokes.digest('hex') });
    const tables = datasetTables(book, [], this.refused);
    for (const table of tables) {
      if (table.name === 'strokes') continue;
      const text = table.name === 'trials' ? heads.get('trials')! + this.trialRows : printTable(table);
      const path = `${table.name}.csv`;
      const sha256 = createHash('sha256').update(text).digest('hex');
      packaged.set(table.name, { path, bytes: Buffer.byteLength(text), sha256 });
      yield [path, text];
    }
    const json = (value: unknown) => `${JSON.stringify(value, null, 2)}\n`;
    yield ['datapackage.json', json(dataPackage(book.day.day, VERSION, tables, packaged))];
    yield ['README.md', codebook(book.day.day, VERSION, tables)];
    yield ['provenance.json', json(provenance(book, this.used))];
    if (samples) yield* sampleFiles(this.source, book, this.sampled);
  }

  private async *strokePieces(head: string): AsyncGenerator<string> {
    let text = head;
    try {
      for await (const { record, refused, used } of processTrials(this.source, this.opened.book)) {
        const printed = printTrial(record, this.opened.book.day);
        this.trialRows += printed.trials;
        text += printed.strokes;
        addAll(this.refused, refused);
        addAll(this.used, used);
        if (!record.result.flags.includes('no_trace')) this.sampled.push(record.entry);
        this.onTrial(record, this.opened.book.trials.length);
        if (text.length < PIECE) continue;
        yield text;
        text = '';
      }
    } catch (error) {
      this.bug = { error };
      throw error;
    }
    yield text;
  }
}

function provenance(book: Daybook, used: readonly UsedFile[]): object {
  const inputs = new Map(used.map(({ path, sha256 }) => [path, sha256]));
  const listed = [...inputs]
    .toSorted(([a], [b]) => (a < b ? -1 : 1))
    .map(([path, sha256]) => ({ path, sha256 }));
  return provenanceOf(book, VERSION, listed);
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
