/**
 * A testing day read whole: its tables checked against one another, consent applied, every row that cannot be used
 * refused alone. Contract: formats.md section 1.
 *
 * Consent comes first: rows of swimmers whose consent is withdrawn or missing are passed over before anything else
 * looks at them, so that no code of theirs reaches a result, a refusal or a hash. Where rows of one swimmer differ,
 * the one that withholds consent decides.
 */
import {
  type TableName,
  type TrialRow,
  type RosterRow,
  type EventRow,
  type StrokeRow,
  type PointRow,
  keepFirst,
  filmHolds,
  readDayTable,
  CONSENTS,
  consentHolds,
} from './tables.ts';
import {
  type TextTable,
  type ReadRow,
  type ReadTable,
  type TextRow,
  cellOf,
  refuseWhere,
} from '../base/table.ts';
import { type ClockPair, MAIN_CAMERA } from '../clock/clock.ts';
import type { ZeroReadings } from '../sensor/calibration.ts';
import type { Hand } from '../base/hand.ts';
import type { HandArea } from '../force/handarea.ts';
import type { Day, TraceColumns, HandColumn } from './day.ts';
import { type CheckEntry, checksOf } from './checks.ts';
import { type SensorCalibration, calibrationsOf, unknownSensor } from './sensors.ts';
import type { Refusal } from '../base/refusal.ts';
import type { Shown } from '../base/shown.ts';

/** Text tables of a day by name; a table that the day does not have is absent. */
export type DayTexts = Partial<Readonly<Record<TableName, TextTable>>>;

/** A film and the row that names it. */
export interface FilmEntry {
  /** Path inside the day, as written. */
  readonly file: string;
  readonly table: 'trials.csv' | 'videos.csv';
  readonly line: number;
}

/** A moment seen on both clocks, and what it was. */
export interface SeenPair extends ClockPair {
  readonly what: string;
}

/** A swimmer who consents to be measured; of nobody else is the code shown. */
export interface OpenSwimmer extends RosterRow {
  readonly participant: Shown<string>;
}

/** Everything the tables say about one trial. */
export interface TrialEntry {
  /** Line of the trial in trials.csv. */
  readonly line: number;
  readonly row: TrialRow;
  readonly participant: OpenSwimmer;
  /** Film of each camera. */
  readonly films: ReadonlyMap<string, FilmEntry>;
  readonly pairs: ReadonlyMap<string, readonly SeenPair[]>;
  /** Zero readings by sensor. */
  readonly zeros: ReadonlyMap<string, ZeroReadings>;
  /** Hand areas that a person kept in place of the roster's; null for a hand where the roster stands. */
  readonly areas?: Readonly<Record<Hand, HandArea | null>>;
  /** All raters' rows, in the file's order. */
  readonly events: readonly ReadRow<EventRow>[];
  readonly judgements: readonly ReadRow<StrokeRow>[];
}

export interface Daybook {
  readonly day: Day;
  readonly roster: readonly OpenSwimmer[];
  readonly trials: readonly TrialEntry[];
  /** Every sensor of day.json. */
  readonly calibrations: ReadonlyMap<string, SensorCalibration>;
  /** Zero readings of the day, by sensor: for trials that have none of their own. */
  readonly dayZeros: ReadonlyMap<string, ZeroReadings>;
  /** Known pressures read at the start and the end of the day, by sensor. */
  readonly checks: ReadonlyMap<string, readonly CheckEntry[]>;
  /** Points followed on film: kept with the day, they change no number. */
  readonly points: readonly PointRow[];
  readonly refused: readonly Refusal[];
  readonly leftOut: { readonly swimmers: number; readonly trials: number };
}

/** Puts a day together from day.json and its tables. */
export function assembleDay(day: Day, texts: DayTexts): Daybook {
  const refused: Refusal[] = [];
  const kept = <T>(table: ReadTable<T>): readonly ReadRow<T>[] => {
    refused.push(...table.refused);
    return table.rows;
  };
  const withheld = withheldSwimmers(texts.roster, refused);
  const swimmer = (table: TextTable) => (row: TextRow) => withheld.has(cellOf(table, row, 'participant'));
  const roster = new Map(
    kept(
      readIfThere(texts, 'roster', swimmer, (table, file) =>
        keepFirst(
          table,
          file,
          (row) => row.participant,
          () => 'this participant',
        ),
      ),
    ).flatMap(({ value }) => opened(value)),
  );
  const shelf = trialsOf(texts, withheld, roster, swimmer);
  refused.push(...shelf.refused);
  for (const { line, value } of shelf.rows) {
    const { section_start_s: start, section_end_s: end } = value;
    if (start === null || end === null || end > start) continue;
    const reason = `section_end_s (${end}) must be later than section_start_s (${start}); the section was left out, the trial stays.`;
    refused.push({ file: 'trials.csv', line, field: 'section_end_s', reason });
  }
  const trialCodes = new Set(shelf.rows.map(({ value }) => value.trial));
  const known = <T extends { trial: string | null }>(table: ReadTable<T>, file: string): ReadTable<T> =>
    refuseWhere(table, file, 'trial', ({ trial }) =>
      trial === null || trialCodes.has(trial)
        ? null
        : `trials.csv has no usable trial ${trial}; add it there or correct the code.`,
    );
  const ofTrial = (table: TextTable) => (row: TextRow) => shelf.withheld.has(cellOf(table, row, 'trial'));
  const calibrations = calibrationsOf(day, texts.calibration, refused);
  const checks = checksOf(day, texts.checks, refused);
  const zeros = kept(
    readIfThere(texts, 'zeros', ofTrial, (table, file) =>
      keepFirst(
        refuseWhere(known(table, file), file, 'sensor', (row) => unknownSensor(day, row)),
        file,
        (row) => `${row.sensor} ${row.trial ?? ''} ${row.when}`,
        (row) => `the zero of ${row.sensor} ${row.when} ${row.trial ?? 'the day'}`,
      ),
    ),
  );
  const filmOfTrial = new Map(shelf.rows.map(({ value }) => [value.trial, value.video]));
  const videos = kept(
    readIfThere(texts, 'videos', ofTrial, (table, file) =>
      keepFirst(
        refuseWhere(known(table, file), file, 'camera', ({ trial, camera }) =>
          camera === MAIN_CAMERA && filmOfTrial.get(trial) != null
            ? `trials.csv already gives the film of camera ${MAIN_CAMERA}; the first stays.`
            : null,
        ),
        file,
        (row) => `${row.trial} ${row.camera}`,
        (row) => `a film of camera ${row.camera} for ${row.trial}`,
      ),
    ),
  );
  const sync = kept(
    readIfThere(texts, 'sync', ofTrial, (table, file) =>
      keepFirst(
        known(table, file),
        file,
        (row) => [row.trial, row.camera, row.trace_s, row.video_s].join(' '),
        () => 'this pair of moments',
      ),
    ),
  );
  const events = kept(
    readIfThere(texts, 'events', ofTrial, (table, file) =>
      keepFirst(
        known(table, file),
        file,
        (row) => [row.trial, row.hand, row.stroke, row.event, row.rater].join(' '),
        (row) => `${row.event} of ${row.hand} stroke ${row.stroke} in ${row.trial}`,
      ),
    ),
  );
  const judgements = kept(
    readIfThere(texts, 'strokes', ofTrial, (table, file) =>
      keepFirst(
        known(table, file),
        file,
        (row) => [row.trial, row.hand, row.stroke, row.rater].join(' '),
        (row) => `a judgement of ${row.hand} stroke ${row.stroke} in ${row.trial}`,
      ),
    ),
  );
  const points = kept(
    readIfThere(texts, 'points', ofTrial, (table, file) =>
      keepFirst(
        known(table, file),
        file,
        (row) => [row.trial, row.camera, row.time_s, row.point, row.rater].join(' '),
        (row) => `${row.point} at ${row.time_s} s of camera ${row.camera} in ${row.trial}`,
      ),
    ),
  );
  const trials = shelf.rows.map(({ line, value }): TrialEntry => {
    let row = value;
    const own = <T extends { trial: string | null }>(rows: readonly ReadRow<T>[]) =>
      rows.filter((other) => other.value.trial === row.trial);
    const films = new Map<string, FilmEntry>();
    const participant = roster.get(row.participant)!;
    if (!filmHolds(participant)) row = { ...row, video: null };
    if (row.video !== null) films.set(MAIN_CAMERA, { file: row.video, table: 'trials.csv', line });
    for (const { line: at, value } of filmHolds(participant) ? own(videos) : [])
      films.set(value.camera, { file: value.file, table: 'videos.csv', line: at });
    return {
      line,
      row,
      participant,
      films,
      pairs: groupPairs(own(sync).map(({ value }) => value)),
      zeros: groupZeros(own(zeros).map(({ value }) => value)),
      events: own(events),
      judgements: own(judgements),
    };
  });
  return {
    day,
    roster: [...roster.values()],
    trials,
    calibrations,
    dayZeros: groupZeros(zeros.filter(({ value }) => value.trial === null).map(({ value }) => value)),
    checks,
    points: points.map(({ value }) => value),
    refused,
    leftOut: { swimmers: withheld.size, trials: shelf.withheldRows },
  };
}

/** The swimmer under their code, where the consent of this very row holds. */
function opened(row: RosterRow): readonly (readonly [string, OpenSwimmer])[] {
  if (!consentHolds(row.consent)) return [];
  return [[row.participant, { ...row, participant: row.participant as Shown<string> }]];
}

function readIfThere<N extends TableName>(
  texts: DayTexts,
  name: N,
  skip: (table: TextTable) => (row: TextRow) => boolean,
  check: (table: ReturnType<typeof readDayTable<N>>, file: string) => ReturnType<typeof readDayTable<N>>,
): ReturnType<typeof readDayTable<N>> {
  const table = texts[name];
  if (table === undefined) return { rows: [], refused: [] };
  return check(readDayTable(name, table, skip(table)), table.file);
}

/**
 * Codes of swimmers of whom some row does not give consent. A consent that cannot be read gives none; its row is
 * refused without a word of what it says.
 */
function withheldSwimmers(roster: TextTable | undefined, refused: Refusal[]): ReadonlySet<string> {
  const withheld = new Set<string>();
  for (const row of roster?.rows ?? []) {
    const consent = cellOf(roster!, row, 'consent') || 'missing';
    const known = CONSENTS.find((value) => value === consent);
    if (known !== undefined && consentHolds(known)) continue;
    const participant = cellOf(roster!, row, 'participant');
    if (participant !== '') withheld.add(participant);
    if (known !== undefined) continue;
    const reason = `consent takes one of ${CONSENTS.join(', ')}; until it does, the swimmer is left out.`;
    refused.push({ file: roster!.file, line: row.line, field: 'consent', reason });
  }
  return withheld;
}

interface Shelf extends ReadTable<TrialRow> {
  /** Codes of trials that belong to swimmers without consent. */
  readonly withheld: ReadonlySet<string>;
  readonly withheldRows: number;
}

function trialsOf(
  texts: DayTexts,
  withheldSwimmerCodes: ReadonlySet<string>,
  roster: ReadonlyMap<string, RosterRow>,
  skip: (table: TextTable) => (row: TextRow) => boolean,
): Shelf {
  const text = texts.trials;
  const owner = new Map<string, string>();
  let withheldRows = 0;
  for (const row of text?.rows ?? []) {
    const [trial, participant] = [cellOf(text!, row, 'trial'), cellOf(text!, row, 'participant')];
    if (!owner.has(trial)) owner.set(trial, participant);
    if (withheldSwimmerCodes.has(participant)) withheldRows++;
  }
  const withheld = new Set(
    [...owner].filter(([, participant]) => withheldSwimmerCodes.has(participant)).map(([trial]) => trial),
  );
  const table = readIfThere(texts, 'trials', skip, (read, file) =>
    keepFirst(
      refuseWhere(read, file, null, (row) => trialFault(row, roster, withheld)),
      file,
      (row) => row.trial,
      () => 'this trial code',
    ),
  );
  return { ...table, withheld, withheldRows };
}

function trialFault(
  row: TrialRow,
  roster: ReadonlyMap<string, RosterRow>,
  withheld: ReadonlySet<string>,
): string | null {
  if (withheld.has(row.trial))
    return 'An earlier row uses this trial code; give every trial a code of its own.';
  if (!roster.has(row.participant))
    return 'The participant is not in roster.csv, or that row was refused; add the swimmer with their consent.';
  if (row.status === 'excluded' && (row.exclusion_reason ?? '') === '')
    return 'An excluded trial needs an exclusion_reason; write why it was left out.';
  return null;
}

function groupPairs(
  rows: readonly { camera: string; trace_s: number; video_s: number; what: string }[],
): Map<string, SeenPair[]> {
  const pairs = new Map<string, SeenPair[]>();
  for (const { camera, trace_s: traceS, video_s: videoS, what } of rows)
    pairs.set(camera, [...(pairs.get(camera) ?? []), { traceS, videoS, what }]);
  return pairs;
}

function groupZeros(
  rows: readonly { sensor: string; when: 'before' | 'after'; raw: number }[],
): Map<string, ZeroReadings> {
  const zeros = new Map<string, ZeroReadings>();
  for (const { sensor, when, raw } of rows)
    zeros.set(sensor, { before: null, after: null, ...zeros.get(sensor), [when]: raw });
  return zeros;
}

/** How the columns of a trial's trace map: the trial's own word, else the day's. */
export function traceColumnsOf({ traceColumns }: Day, row: TrialRow): TraceColumns {
  const of = (day: HandColumn | null, column: string | null): HandColumn | null => {
    if (column === null) return day;
    // What a column holds goes with the column: hands that wore each other's sensors read each other's.
    const named = [traceColumns.left, traceColumns.right].find((other) => other?.column === column);
    return { column, sensor: day?.sensor ?? null, elsewhere: (named ?? day)?.elsewhere ?? null };
  };
  return {
    time: traceColumns.time,
    left: of(traceColumns.left, row.left_column),
    right: of(traceColumns.right, row.right_column),
  };
}

/** The sensor that a hand wore in a trial: the trial's own word, else the day's; null where neither says. */
export function sensorWorn(day: Day, row: TrialRow, hand: Hand): string | null {
  const own = hand === 'left' ? row.left_sensor : row.right_sensor;
  return own ?? day.traceColumns[hand]?.sensor ?? null;
}
