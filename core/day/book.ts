/**
 * A testing day read whole: its tables checked against one another, consent applied, every row that cannot be used
 * refused alone. Contract: formats.md section 1.
 *
 * Consent comes first: rows of swimmers whose consent is withdrawn or missing are passed over before anything else
 * looks at them, so that no code of theirs reaches a result, a refusal or a hash. Where rows of one swimmer differ,
 * the one that withholds consent decides.
 */
import { addAll } from '../base/extent.ts';
import {
  type TableName,
  type TrialRow,
  type RosterRow,
  type EventRow,
  type StrokeRow,
  type PointRow,
  atMost,
  keepFirst,
  MOST,
  consentHolds,
  filmHolds,
  readDayTable,
} from './tables.ts';
import { passOver, sectionRefusals, swimmersOf, trialsOf, withheldSwimmers } from './shelf.ts';
import {
  type TextTable,
  type ReadRow,
  type ReadTable,
  type TextRow,
  ownFault,
  refuseWhere,
} from '../base/table.ts';
import { type ClockPair, MAIN_CAMERA } from '../clock/clock.ts';
import type { ZeroReadings } from '../sensor/calibration.ts';
import type { Hand } from '../base/hand.ts';
import type { HandArea } from '../force/handarea.ts';
import type { Day, TraceColumns, HandColumn } from './day.ts';
import { type PressureEntry, checksOf } from './checks.ts';
import { type SensorCalibration, calibrationsOf, unknownSensors } from './sensors.ts';
import { inOneGo, type Slices } from '../base/slices.ts';
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

/** A trial of a swimmer who consents: its code, which holds theirs, may be shown. */
export interface OpenTrialRow extends TrialRow {
  readonly trial: Shown<string>;
}

/** Everything the tables say about one trial. */
export interface TrialEntry {
  /** Line of the trial in trials.csv. */
  readonly line: number;
  readonly row: OpenTrialRow;
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
  readonly checks: ReadonlyMap<string, readonly PressureEntry[]>;
  /** Points followed on film: kept with the day, they change no number. */
  readonly points: readonly PointRow[];
  readonly refused: readonly Refusal[];
  readonly leftOut: { readonly swimmers: number; readonly trials: number };
}

/** Puts a day together from day.json and its tables. */
export function assembleDay(day: Day, texts: DayTexts): Daybook {
  return inOneGo(assembling(day, texts));
}

/** {@link assembleDay} in slices, for tables that may be long. */
export function* assembling(day: Day, texts: DayTexts): Slices<Daybook> {
  const refused: Refusal[] = [];
  const kept = <T>(table: ReadTable<T>): readonly ReadRow<T>[] => {
    addAll(refused, table.refused);
    return table.rows;
  };
  const withheld = yield* withheldSwimmers(texts.roster, refused);
  const { swimmers, refused: swimmersRefused } = yield* swimmersOf(texts.roster, withheld);
  const roster = new Map(swimmers.flatMap((row) => opened(row)));
  addAll(refused, swimmersRefused);
  const shelf = yield* trialsOf(texts, withheld, roster);
  addAll(refused, shelf.refused);
  addAll(refused, sectionRefusals(shelf, 'trials.csv'));
  const known = <T extends { trial: string | null }>(
    table: ReadTable<T>,
    file: string,
  ): Slices<ReadTable<T>> =>
    refuseWhere(table, file, 'trial', ({ trial }) => (trial === null ? null : shelf.faultOf({ trial })));
  const ofTrial = (table: TextTable) => passOver(table, 'trial', shelf.withheld);
  const calibrations = yield* calibrationsOf(day, texts.calibration, refused);
  const checks = yield* checksOf(day, texts.checks, refused);
  const zeros = kept(
    yield* readIfThere(texts, 'zeros', ofTrial, function* (table, file) {
      return yield* keepFirst(
        yield* refuseWhere(yield* known(table, file), file, 'sensor', unknownSensors(day)),
        file,
        (row) => `${row.sensor} ${row.trial ?? ''} ${row.when}`,
        (row) => `the zero of ${row.sensor} ${row.when} ${row.trial ?? 'the day'}`,
      );
    }),
  );
  const filmOfTrial = new Map(shelf.rows.map(({ value }) => [value.trial, value.video]));
  const videos = kept(
    yield* readIfThere(texts, 'videos', ofTrial, function* (table, file) {
      return yield* keepFirst(
        yield* refuseWhere(yield* known(table, file), file, 'camera', ({ trial, camera }) =>
          camera === MAIN_CAMERA && filmOfTrial.get(trial) != null
            ? ownFault(
                'main camera',
                `camera is "${camera}"; trials.csv already gives the film of camera ${MAIN_CAMERA}: the first stays.`,
              )
            : null,
        ),
        file,
        (row) => `${row.trial} ${row.camera}`,
        (row) => `a film of camera ${row.camera} for ${row.trial}`,
      );
    }),
  );
  const sync = kept(
    yield* readIfThere(texts, 'sync', ofTrial, function* (table, file) {
      return yield* atMost(
        yield* keepFirst(
          yield* known(table, file),
          file,
          (row) => [row.trial, row.camera, row.trace_s, row.video_s].join(' '),
          (row) => `the moment ${row.trace_s} s, ${row.video_s} s of camera ${row.camera} in ${row.trial}`,
        ),
        file,
        MOST.pairs,
        'moments for one camera of a trial',
        (row) => `${row.trial} ${row.camera}`,
      );
    }),
  );
  const events = kept(
    yield* readIfThere(texts, 'events', ofTrial, function* (table, file) {
      return yield* keepFirst(
        yield* known(table, file),
        file,
        (row) => [row.trial, row.hand, row.stroke, row.event, row.rater].join(' '),
        (row) => `${row.event} of ${row.hand} stroke ${row.stroke} in ${row.trial}`,
      );
    }),
  );
  const judgements = kept(
    yield* readIfThere(texts, 'strokes', ofTrial, function* (table, file) {
      return yield* keepFirst(
        yield* known(table, file),
        file,
        (row) => [row.trial, row.hand, row.stroke, row.rater].join(' '),
        (row) => `a judgement of ${row.hand} stroke ${row.stroke} in ${row.trial}`,
      );
    }),
  );
  const points = kept(
    yield* readIfThere(texts, 'points', ofTrial, function* (table, file) {
      return yield* keepFirst(
        yield* known(table, file),
        file,
        (row) => [row.trial, row.camera, row.time_s, row.point, row.rater].join(' '),
        (row) => `${row.point} at ${row.time_s} s of camera ${row.camera} in ${row.trial}`,
      );
    }),
  );
  const of = {
    videos: byTrial(videos),
    sync: byTrial(sync),
    zeros: byTrial(zeros),
    events: byTrial(events),
    judgements: byTrial(judgements),
    points: byTrial(points),
  };
  const trials = shelf.rows.map(({ line, value }): TrialEntry => {
    let row = value;
    const films = new Map<string, FilmEntry>();
    const participant = roster.get(row.participant)!;
    if (!filmHolds(participant)) row = { ...row, video: null };
    if (row.video !== null) films.set(MAIN_CAMERA, { file: row.video, table: 'trials.csv', line });
    for (const { line: at, value } of filmHolds(participant) ? of.videos(row.trial) : [])
      films.set(value.camera, { file: value.file, table: 'videos.csv', line: at });
    return {
      line,
      row: { ...row, trial: row.trial as Shown<string> },
      participant,
      films,
      pairs: groupPairs(of.sync(row.trial).map(({ value }) => value)),
      zeros: groupZeros(of.zeros(row.trial).map(({ value }) => value)),
      events: of.events(row.trial),
      judgements: of.judgements(row.trial),
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

type Read<N extends TableName> = ReturnType<typeof readDayTable<N>> extends Slices<infer T> ? T : never;

function* readIfThere<N extends TableName>(
  texts: DayTexts,
  name: N,
  skip: (table: TextTable) => (row: TextRow) => boolean,
  check: (table: Read<N>, file: string) => Slices<Read<N>>,
): Slices<Read<N>> {
  const table = texts[name];
  if (table === undefined) return { rows: [], refused: [] };
  return yield* check(yield* readDayTable(name, table, skip(table)), table.file);
}

/** Gives the rows of a trial, in the file's order. */
function byTrial<T extends { trial: string | null }>(
  rows: readonly ReadRow<T>[],
): (trial: string) => readonly ReadRow<T>[] {
  const groups = Map.groupBy(rows, ({ value }) => value.trial);
  return (trial) => groups.get(trial) ?? [];
}

function groupPairs(
  rows: readonly { camera: string; trace_s: number; video_s: number; what: string }[],
): Map<string, SeenPair[]> {
  const pairs = new Map<string, SeenPair[]>();
  for (const { camera, trace_s: traceS, video_s: videoS, what } of rows) {
    const own = pairs.get(camera);
    if (own === undefined) pairs.set(camera, [{ traceS, videoS, what }]);
    else own.push({ traceS, videoS, what });
  }
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

/**
 * In which unit a hand's column of a trial's trace holds its readings: its own where it was calibrated elsewhere, else
 * the raw unit of the sensor worn; null where none is stated.
 */
export function readingUnit(day: Day, row: TrialRow, hand: Hand): string | null {
  const { elsewhere = null } = traceColumnsOf(day, row)[hand] ?? {};
  if (elsewhere !== null) return elsewhere.unit;
  const worn = sensorWorn(day, row, hand);
  const stated = day.sensors.find(({ sensor }) => sensor === worn)?.rawUnit?.trim() ?? '';
  return stated === '' ? null : stated;
}

/** The sensor that a hand wore in a trial: the trial's own word, else the day's; null where neither says. */
export function sensorWorn(day: Day, row: TrialRow, hand: Hand): string | null {
  const own = hand === 'left' ? row.left_sensor : row.right_sensor;
  return own ?? day.traceColumns[hand]?.sensor ?? null;
}
