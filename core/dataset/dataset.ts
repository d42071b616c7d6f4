/**
 * The dataset a day is exported as: tables, fields with unit and description, and how a result becomes a row.
 * Contract: formats.md section 3. A Data Package (Data Package standard v2) describes it; see `package.ts`.
 */
import { fields, type Field } from './field.ts';
import { calibrations, participants, type SensorRow } from './sensorfields.ts';
import { trials, type TrialRow } from './trialfields.ts';
import { strokes, type StrokeRow } from './strokefields.ts';
import type { Daybook } from '../day/book.ts';
import type { Day } from '../day/day.ts';
import { elsewhereOf, pressureOutcome } from '../day/checks.ts';
import { printRow, type Cell } from '../base/csv.ts';
import type { Refusal } from '../base/refusal.ts';
import { joinRuns } from '../base/refusedruns.ts';
import { HANDS } from '../base/hand.ts';

const refused = fields<Refusal>(
  ['file', 'string', '', 'File of the day folder', (row) => row.file],
  ['line', 'integer', '', 'Line of the file; empty where it concerns the whole file', (row) => row.line],
  ['reason', 'string', '', 'What was left out, and why', (row) => row.reason],
);

/** Fields of every table, in order, as formats.md section 3 names them. */
export const DATASET_FIELDS: Readonly<
  Record<DatasetTable['name'], readonly Pick<Field<unknown>, 'name' | 'type' | 'unit' | 'description'>[]>
> = { participants, calibrations, trials, strokes, refused };

/** One table of the dataset, ready to print. */
export interface DatasetTable {
  readonly name: 'participants' | 'calibrations' | 'trials' | 'strokes' | 'refused';
  readonly title: string;
  readonly fields: readonly Pick<Field<unknown>, 'name' | 'type' | 'unit' | 'description'>[];
  readonly rows: readonly (readonly Cell[])[];
}

function table<T>(
  name: DatasetTable['name'],
  title: string,
  columns: readonly Field<T>[],
  rows: readonly T[],
): DatasetTable {
  const described = columns.map(({ name: field, type, unit, description }) => ({
    name: field,
    type,
    unit,
    description,
  }));
  return { name, title, fields: described, rows: rows.map((row) => columns.map(({ of }) => of(row))) };
}

/** Refusals in their fixed order: causes first, what follows from them after; by file, the whole file first, by line. */
export function orderRefusals(all: readonly Refusal[]): readonly Refusal[] {
  const place = ({ line }: Refusal) => line ?? 0;
  const rank = ({ follows }: Refusal) => (follows === true ? 1 : 0);
  return joinRuns(
    all.toSorted(
      (a, b) => rank(a) - rank(b) || (a.file < b.file ? -1 : a.file > b.file ? 1 : place(a) - place(b)),
    ),
  );
}

function sensorRows({ day, calibrations: all, checks }: Daybook): readonly SensorRow[] {
  return [...all].map(([code, own]) => ({
    ...own,
    check: pressureOutcome(checks.get(code) ?? [], own.calibration, elsewhereOf(day, code)),
  }));
}

/** A trial's strokes, left before right, in the order of their numbers. */
function strokeRows({ entry, result }: TrialRow): readonly StrokeRow[] {
  return HANDS.flatMap((hand) =>
    result.strokes.filter(({ stroke }) => stroke.hand === hand).map((stroke) => ({ entry, stroke })),
  );
}

/**
 * What one trial adds to trials.csv and to strokes.csv, as printed. Behind the headers of {@link datasetTables} these
 * rows, in the order of trials.csv, are the tables.
 */
export function printTrial(
  record: TrialRow,
  day: Day,
): { readonly trials: string; readonly strokes: string } {
  const line = { ...record, day };
  let text = '';
  for (const row of strokeRows(record)) text += printRow(strokes.map(({ of }) => of(row)));
  return { trials: printRow(trials.map(({ of }) => of(line))), strokes: text };
}

/** The tables of a dataset. Rows stand in the order of the roster, of trials.csv, and of hand and stroke number. */
export function datasetTables(
  book: Daybook,
  records: readonly TrialRow[],
  refusals: readonly Refusal[],
): readonly DatasetTable[] {
  return [
    table('participants', 'Swimmers', participants, book.roster),
    table('calibrations', 'Sensor calibrations', calibrations, sensorRows(book)),
    table(
      'trials',
      'Trials',
      trials,
      records.map((record) => ({ ...record, day: book.day })),
    ),
    table('strokes', 'Arm strokes', strokes, records.flatMap(strokeRows)),
    table('refused', 'Inputs left out', refused, orderRefusals(refusals)),
  ];
}
