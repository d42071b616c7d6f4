/**
 * The tables of a dataset or a pool as a comparison reads them: trials with their swimmers, strokes and sensors.
 * Cells are text as a person means it (the apostrophe that guards a spreadsheet is off); blank is no value.
 */
import { failed, done, type Outcome } from '../base/refusal.ts';
import { isMissing, parseNumber } from '../base/table.ts';
import { meanOf } from './moments.ts';
import { meantText } from './nearest.ts';

export interface StudyTable {
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** What is read; `day` is a column of every table. */
export interface StudyTables {
  readonly trials: StudyTable;
  readonly participants: StudyTable;
  readonly strokes: StudyTable | null;
  readonly calibrations: StudyTable | null;
  /** Standard uncertainty of the section's length by day, m; null or absent where it is not known. */
  readonly sectionUM: ReadonlyMap<string, number | null>;
}

/** One trial, in the order of day and row. */
export interface StudyTrial {
  readonly day: string;
  readonly trial: string;
  readonly participant: string;
  readonly cells: readonly string[];
}

export interface Study {
  readonly tables: StudyTables;
  readonly trials: readonly StudyTrial[];
  /** Rows of participants.csv by code. */
  readonly people: ReadonlyMap<string, readonly (readonly string[])[]>;
  /** Rows of strokes.csv that count, by `day/trial`. */
  readonly strokes: ReadonlyMap<string, readonly (readonly string[])[]>;
}

/**
 * Which of two texts comes first, as the sign of the number: by code points, not UTF-16 units and not a locale
 * (our definition).
 */
export function byCodePoint(a: string, b: string): number {
  if (a === b) return 0;
  const [x, y] = [[...a], [...b]];
  for (let k = 0; k < Math.min(x.length, y.length); k++) {
    const away = x[k]!.codePointAt(0)! - y[k]!.codePointAt(0)!;
    if (away !== 0) return away;
  }
  return x.length - y.length;
}

function reader(table: StudyTable, column: string): (row: readonly string[]) => string {
  const index = table.columns.indexOf(column);
  return (row) => (index < 0 ? '' : (row[index] ?? ''));
}

/** Puts the tables together. Trials stand by day, then in the order of their rows. */
export function studyOf(tables: StudyTables): Study {
  const [day, trial, participant] = ['day', 'trial', 'participant'].map((name) =>
    reader(tables.trials, name),
  );
  const trials = tables.trials.rows
    .map((cells) => ({ day: day!(cells), trial: trial!(cells), participant: participant!(cells), cells }))
    .sort((a, b) => byCodePoint(a.day, b.day));
  const code = reader(tables.participants, 'participant');
  const people = grouped(tables.participants.rows, code);
  const strokes = new Map<string, readonly (readonly string[])[]>();
  if (tables.strokes !== null) {
    const own = tables.strokes;
    const [ofDay, ofTrial, inSection, excluded] = ['day', 'trial', 'in_section', 'exclusion_reason'].map(
      (name) => reader(own, name),
    );
    const counted = own.rows.filter((row) => inSection!(row) === 'true' && excluded!(row) === '');
    for (const [key, rows] of grouped(counted, (row) => `${ofDay!(row)}/${ofTrial!(row)}`))
      strokes.set(key, rows);
  }
  return { tables, trials, people, strokes };
}

/** Rows by a key, in the order in which each key and row came. */
export function grouped<T>(rows: readonly T[], key: (row: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const row of rows) {
    const own = groups.get(key(row));
    if (own === undefined) groups.set(key(row), [row]);
    else own.push(row);
  }
  return groups;
}

/** A number of a table's cell, in its column’s unit (formats.md section 2); null where there is none. */
export function numberIn(cell: string): number | null {
  return isMissing(cell) ? null : parseNumber(cell);
}

function isNumeric(table: StudyTable, column: string): boolean {
  const of = reader(table, column);
  let seen = 0;
  for (const row of table.rows) {
    const cell = of(row);
    if (isMissing(cell)) continue;
    if (numberIn(cell) === null) return false;
    seen++;
  }
  return seen > 0 || table.rows.every((row) => isMissing(of(row)));
}

/** Columns that hold codes even where all of them look like numbers. */
const NEVER_NUMBERS: ReadonlySet<string> = new Set([
  'day',
  'trial',
  'participant',
  'hand',
  'left_sensor',
  'right_sensor',
  'rater',
]);

function holdsNumbers(table: StudyTable, column: string, texts: ReadonlySet<string>): boolean {
  return (
    table.columns.includes(column) &&
    !texts.has(column) &&
    !NEVER_NUMBERS.has(column) &&
    isNumeric(table, column)
  );
}

function numericColumns(table: StudyTable, texts: ReadonlySet<string>): readonly string[] {
  return table.columns.filter((name) => holdsNumbers(table, name, texts));
}

/** The value that a trial has of an outcome or of `on`. */
export type ValueOf = (trial: StudyTrial) => number | null;

const STROKES = 'strokes.';

/**
 * The reader of a numeric column of trials.csv, or of the mean of a column of strokes.csv over the strokes that count.
 * @param texts columns that are text by the dataset's schema; the failure is a sentence with the nearest names
 */
export function outcomeOf(
  study: Study,
  name: string,
  texts: { readonly trials: ReadonlySet<string>; readonly strokes: ReadonlySet<string> },
): Outcome<ValueOf, string> {
  const ofStrokes = name.startsWith(STROKES);
  const table = ofStrokes ? study.tables.strokes : study.tables.trials;
  if (table === null) return failed(`The outcome "${name}" needs strokes.csv, which is not there.`);
  const column = ofStrokes ? name.slice(STROKES.length) : name;
  if (!holdsNumbers(table, column, ofStrokes ? texts.strokes : texts.trials)) {
    const all = [
      ...numericColumns(study.tables.trials, texts.trials),
      ...(study.tables.strokes === null
        ? []
        : numericColumns(study.tables.strokes, texts.strokes).map((own) => STROKES + own)),
    ];
    const what = table.columns.includes(column)
      ? `"${name}" holds text; this test needs numbers`
      : `There is no column "${name}"`;
    return failed(`${what}. Did you mean ${meantText(name, all)}?`);
  }
  const of = reader(table, column);
  if (!ofStrokes) return done((trial) => numberIn(of(trial.cells)));
  return done(({ day, trial }) => {
    const values = (study.strokes.get(`${day}/${trial}`) ?? []).flatMap((row) => numberIn(of(row)) ?? []);
    return values.length === 0 ? null : meanOf(values);
  });
}

/** A column that makes groups: each trial's own text, or the one text of a participant. */
export interface GroupColumn {
  readonly name: string;
  readonly isOfTrials: boolean;
  /** Null for none. */
  readonly of: (trial: StudyTrial) => string | null;
}

/** The column that groups or filters; the failure is a sentence with the nearest names. */
export function groupColumn(study: Study, name: string): Outcome<GroupColumn, string> {
  const { trials, participants } = study.tables;
  if (trials.columns.includes(name)) {
    const of = reader(trials, name);
    return done({ name, isOfTrials: true, of: (trial) => of(trial.cells) || null });
  }
  if (!participants.columns.includes(name))
    return failed(
      `There is no column "${name}" in trials.csv or participants.csv. Did you mean ${meantText(name, [...new Set([...trials.columns, ...participants.columns])])}?`,
    );
  const of = reader(participants, name);
  const fields = new Map<string, string | null>();
  for (const [code, rows] of study.people) {
    const values = new Set(rows.map(of).filter((value) => value !== ''));
    fields.set(code, values.size === 1 ? [...values][0]! : null);
  }
  return done({ name, isOfTrials: false, of: ({ participant }) => fields.get(participant) ?? null });
}

/** A cell of a trial's row. */
export function cellOfTrial(study: Study, trial: StudyTrial, column: string): string {
  return reader(study.tables.trials, column)(trial.cells);
}
