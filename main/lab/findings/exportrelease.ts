/**
 * A release written out as a Data Package in the pooled form of formats.md section 4. Tables are joined day by day,
 * samples copied one by one: what is in memory does not grow with the release. The same release and wish give the same
 * bytes, whenever and wherever it is written.
 */
import { createHash } from 'node:crypto';
import { rm } from 'node:fs/promises';
import { resolve } from 'node:path';
import type { LabError } from '../../../core/base/refusal.ts';
import type { Outcome } from '../../../core/base/refusal.ts';
import { quoteText, unguardText } from '../../../core/base/csv.ts';
import { counted } from '../../../core/base/words.ts';
import { CURVES_TABLE } from '../../../core/dataset/curvefields.ts';
import { tablePackage, type DescribedTable, type PackagedFile } from '../../../core/dataset/package.ts';
import { poolTable, TABLE_NAMES, type TableName } from '../../../core/dataset/pool.ts';
import { handedOver, type ExportWish } from '../../../core/dataset/release.ts';
import { edfFile } from '../../files/edffile.ts';
import { matlabFile } from '../../files/matfile.ts';
import { writeFolder, type OutFile } from '../../files/outfolder.ts';
import { outFault, settle, whyNotWritten } from '../../files/outplace.ts';
import { parquetBytes, typedColumn } from '../../files/parquet.ts';
import { withdrawnMeanwhile } from '../days/exportday.ts';
import type { Progress } from '../kept/jobs.ts';
import type { Session } from '../kept/session.ts';
import { frozenRecordings } from './recordings.ts';
import { contentPath, openRelease, type OpenDay, type OpenRelease } from './releaserows.ts';

export interface ExportOrder {
  readonly name: string;
  readonly out: string;
  readonly wish: ExportWish;
  readonly replace: boolean;
}

export type ExportOutcome =
  | { readonly kind: 'misplaced'; readonly says: string }
  | { readonly kind: 'nothing'; readonly error: LabError }
  | { readonly kind: 'written'; readonly says: string; readonly leftOut: OpenDay['leftOut'] };

/** Carries an error out of the writing of a folder, so that nothing of it stays. */
class Stopped extends Error {
  readonly error: LabError;

  constructor(error: LabError) {
    super(error.says);
    this.error = error;
  }
}

function valueOf<T>(outcome: Outcome<T, LabError>): T {
  if (!outcome.ok) throw new Stopped(outcome.error);
  return outcome.value;
}

/** Writes a release under `out`, whole or not at all; an aborted signal leaves nothing. */
export async function exportRelease(
  session: Session,
  order: ExportOrder,
  progress: Progress,
): Promise<ExportOutcome> {
  const home = { path: session.store.folder, name: 'the lab folder' };
  const fault = await outFault(order.out, [home], order.replace);
  if (fault !== null) return { kind: 'misplaced', says: fault };
  const opened = openRelease(session, order.name);
  if (!opened.ok) return { kind: 'nothing', error: opened.error };
  const writing = new Writing(session, opened.value, order.wish, progress);
  const { days } = opened.value.about;
  progress.total(days.length * (order.wish.parquet ? 2 : 1) + TABLE_NAMES.length);
  try {
    const out = await settle(resolve(order.out));
    await writeFolder(out, writing.files(), order.replace);
    if (await writing.lostConsent()) {
      await rm(out, { recursive: true, force: true });
      return { kind: 'nothing', error: withdrawnMeanwhile('The release was not written').error };
    }
  } catch (error) {
    if (error instanceof Stopped) return { kind: 'nothing', error: error.error };
    if (progress.signal.aborted) return { kind: 'nothing', error: CANCELLED };
    if ((error as NodeJS.ErrnoException).code === undefined) throw error;
    return { kind: 'nothing', error: notWritten(order.out, error as Error) };
  }
  const { leftOut, trials } = writing;
  const says = `Release ${order.name}: ${counted(days.length, 'day')}, ${counted(trials, 'trial')} written to ${order.out}.`;
  return { kind: 'written', says, leftOut };
}

const CANCELLED: LabError = {
  code: 'cancelled',
  says: 'The release was not written: it was cancelled.',
  todo: 'Nothing was left in its place; write it again when you like.',
};

function notWritten(out: string, error: Error): LabError {
  return {
    code: 'bad_input',
    says: `The release could not be written to ${out}: ${whyNotWritten(error)}. OUT is as it was.`,
    todo: 'See that there is room and that you may write, or choose another folder.',
  };
}

class Writing {
  readonly leftOut = { swimmers: 0, trials: 0 };
  trials = 0;
  private readonly session: Session;
  private readonly release: OpenRelease;
  private readonly wish: ExportWish;
  private readonly progress: Progress;
  private readonly packaged = new Map<string, PackagedFile>();

  constructor(session: Session, release: OpenRelease, wish: ExportWish, progress: Progress) {
    this.session = session;
    this.release = release;
    this.wish = wish;
    this.progress = progress;
  }

  /** Every file, each made when it is its turn: what describes the tables comes after them. */
  async *files(): AsyncGenerator<readonly [string, OutFile]> {
    for (const table of TABLE_NAMES) {
      yield [`${table}.csv`, { pieces: () => this.tablePieces(table) }];
      this.progress.step();
    }
    if (this.wish.curves) yield ['curves.csv', { pieces: () => this.curvePieces() }];
    if (this.wish.parquet) yield* this.parquetFiles();
    for await (const day of this.days()) {
      this.leftOut.swimmers += day.leftOut.swimmers;
      this.leftOut.trials += day.leftOut.trials;
      this.trials += valueOf(await day.table('trials')).rows.length;
      if (this.wish.samples) yield* this.sampleFiles(day);
      if (this.wish.matlab || this.wish.edf) yield* this.recordingFiles(day);
      this.progress.step();
    }
    yield ['provenance.json', { pieces: () => this.provenancePieces() }];
    for (const path of ['README.md', 'METHODS.md', 'load.py', 'load.R'])
      yield [path, valueOf(await this.release.text(path))];
    yield ['datapackage.json', await this.description()];
  }

  /** True where a consent was withdrawn while it was being written. */
  async lostConsent(): Promise<boolean> {
    let left = 0;
    for await (const day of this.days()) left += day.leftOut.swimmers;
    return left !== this.leftOut.swimmers;
  }

  private async *days(): AsyncGenerator<OpenDay> {
    for (const { day } of this.release.about.days) {
      this.progress.signal.throwIfAborted();
      yield valueOf(await this.release.day(day));
    }
  }

  /** The cells of a day's table as they are handed over, without the day. */
  private async rows(day: OpenDay, table: TableName): Promise<readonly (readonly string[])[]> {
    const { columns, rows } = valueOf(await day.table(table));
    const places = poolTable(table)
      .fields.slice(1)
      .map(({ name }) => columns.indexOf(name));
    return rows.map((row) =>
      handedOver(
        table,
        places.map((place) => row[place] ?? ''),
        this.wish,
      ),
    );
  }

  private tablePieces(table: TableName): AsyncGenerator<string> {
    const names = poolTable(table).fields.map((field) => field.name);
    return this.pieces(table, names, (day) => this.rows(day, table));
  }

  private curvePieces(): AsyncGenerator<string> {
    const names = CURVES_TABLE.fields.map((field) => field.name);
    return this.pieces('curves', names, async (day) => valueOf(await day.table('curves')).rows);
  }

  private async *pieces(
    table: string,
    names: readonly string[],
    rowsOf: (day: OpenDay) => Promise<readonly (readonly string[])[]>,
  ): AsyncGenerator<string> {
    const hash = createHash('sha256');
    let bytes = 0;
    const take = (text: string): string => {
      hash.update(text);
      bytes += Buffer.byteLength(text);
      return text;
    };
    yield take(`${names.join(',')}\n`);
    for await (const day of this.days()) {
      const lines = (await rowsOf(day)).map((row) => `${[day.day, ...row].map(quoteText).join(',')}\n`);
      yield take(lines.join(''));
    }
    this.packaged.set(table, { path: `${table}.csv`, bytes, sha256: hash.digest('hex') });
  }

  private async *parquetFiles(): AsyncGenerator<readonly [string, OutFile]> {
    for await (const day of this.days()) {
      for (const table of TABLE_NAMES) {
        const rows = await this.rows(day, table);
        const columns = poolTable(table)
          .fields.slice(1)
          .map(({ name, type }, k) =>
            typedColumn(
              name,
              type,
              rows.map((row) => (type === 'string' ? unguardText(row[k]!) : row[k]!)),
            ),
          );
        yield [`tables/${table}/day=${day.day}/part-0.parquet`, { make: () => parquetBytes(columns) }];
      }
      this.progress.step();
    }
  }

  private async *sampleFiles(day: OpenDay): AsyncGenerator<readonly [string, OutFile]> {
    for (const [trial, sha256] of day.samples()) {
      this.progress.signal.throwIfAborted();
      const path = `samples/${trial}.parquet`;
      const at = valueOf(await contentPath(this.session, this.release.stored.name, { path, sha256 }));
      yield [`samples/day=${day.day}/${trial}.parquet`, { copyOf: at }];
    }
  }

  /** Each trial as files for other programs, made from its frozen samples and strokes. */
  private async *recordingFiles(day: OpenDay): AsyncGenerator<readonly [string, OutFile]> {
    const about = await frozenRecordings(this.session, this.release, day);
    for (const [trial, sha256] of day.samples()) {
      this.progress.signal.throwIfAborted();
      const recording = valueOf(await valueOf(about)(trial, sha256));
      const path = `recordings/day=${day.day}/${trial}`;
      if (this.wish.matlab) yield [`${path}.mat`, { make: () => matlabFile(recording) }];
      if (this.wish.edf) yield [`${path}.edf`, { make: () => edfFile(recording) }];
    }
  }

  private async *provenancePieces(): AsyncGenerator<string> {
    const { name, sha256, at, version } = this.release.stored;
    const head = {
      program: { name: 'lanebench', version },
      release: { name, sha256, at },
      parameters: { lab: null, notes: this.wish.notes, coarse_birth_year: this.wish.coarseBirthYear },
    };
    yield `${JSON.stringify(head, null, 2).slice(0, -2)},\n  "days": {`;
    let separator = '\n';
    for await (const day of this.days()) {
      const { inputs, ...rest } = valueOf(await day.provenance());
      const left = rest.left_out_for_consent;
      const own = {
        ...rest,
        inputs: inputs.map(({ path, sha256: hash }) => ({ path, sha256: hash })),
        left_out_for_consent: {
          swimmers: left.swimmers + day.leftOut.swimmers,
          trials: left.trials + day.leftOut.trials,
        },
      };
      yield `${separator}${JSON.stringify(day.day)}: ${JSON.stringify(own, null, 2)}`;
      separator = ',\n';
    }
    yield '\n  }\n}\n';
  }

  private async description(): Promise<string> {
    const { name, sha256, at, version } = this.release.stored;
    const days = this.release.about.days.map(({ day }) => day);
    const all = JSON.parse(valueOf(await this.release.text('fields.json'))) as DescribedTable[];
    const fields = all.filter((table) => this.packaged.has(table.name));
    const about = {
      name: `lanebench-${name.toLowerCase()}`,
      title: `Front-crawl testing days ${days.join(', ')}`,
      days,
      release: { name, sha256, at },
    };
    return `${JSON.stringify(tablePackage(about, version, fields, this.packaged), null, 2)}\n`;
  }
}
