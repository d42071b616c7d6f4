/**
 * The tables of a day folder: their columns, what a cell may say, and what a row means.
 * Contract: formats.md section 1. Rows come out typed, in the file's order, each with its line.
 */
import {
  oneOf,
  number,
  column,
  optional,
  code,
  optionalNumber,
  withDefault,
  text,
  path,
  readTable,
  refuseWhere,
  ownFault,
  type TextTable,
  type TextRow,
  type ReadTable,
  type TableSpec,
} from '../base/table.ts';
import type { Slices } from '../base/slices.ts';
import { MAIN_CAMERA } from '../clock/clock.ts';
import { PRESSURE_UNITS } from '../sensor/hydrostatics.ts';
import { currentEvent, ENTRY_WORDS, EVENTS } from '../stroke/stroke.ts';

export const CONSENTS = ['given', 'assent_and_guardian', 'withdrawn', 'missing'] as const;

export type Consent = (typeof CONSENTS)[number];

/** True where a person may be measured, processed and exported. */
export function consentHolds(consent: Consent): boolean {
  return consent === 'given' || consent === 'assent_and_guardian';
}

/** Filming, and showing film to others, are asked for apart from measuring. */
export const FILM_CONSENTS = ['given', 'withheld', 'not_asked'] as const;

export type FilmConsent = (typeof FILM_CONSENTS)[number];

/** True where films of a swimmer may be looked at; a roster that does not say leaves films as they are. */
export function filmHolds(row: { readonly film_consent: FilmConsent | null }): boolean {
  return row.film_consent === null || row.film_consent === 'given';
}

/** Points of the body, the water line and the scale that are followed on film. */
export const POINTS = [
  'left_hand',
  'right_hand',
  'left_shoulder',
  'right_shoulder',
  'hip',
  'water_1',
  'water_2',
  'scale_1',
  'scale_2',
] as const;

const hand = oneOf('left', 'right');

/** No trial has this many strokes of a hand: work on one grows faster than their number. */
const MOST_STROKES = 2000;

const stroke = number({ atLeast: 1, atMost: MOST_STROKES, whole: true });

const areaMethod = column(optional(oneOf('traced', 'typed', 'estimated')), false);

const roster = {
  participant: column(code),
  sex: column(optional(oneOf('female', 'male', 'unspecified')), false),
  birth_year: column(optionalNumber({ whole: true, atLeast: 1900 }), false),
  height_cm: column(optionalNumber({ above: 0 }), false),
  mass_kg: column(optionalNumber({ above: 0 }), false),
  left_hand_area_cm2: column(optionalNumber({ above: 0 }), false),
  right_hand_area_cm2: column(optionalNumber({ above: 0 }), false),
  hand_area_u_cm2: column(optionalNumber({ atLeast: 0 }), false),
  left_hand_area_u_cm2: column(optionalNumber({ atLeast: 0 }), false),
  right_hand_area_u_cm2: column(optionalNumber({ atLeast: 0 }), false),
  left_hand_area_method: areaMethod,
  right_hand_area_method: areaMethod,
  consent: column(withDefault(oneOf(...CONSENTS), 'missing'), false),
  /** Whether films of the swimmer may be used, and shown to others; blank is "not said", which leaves films as they are. */
  film_consent: column(optional(oneOf(...FILM_CONSENTS)), false),
  film_sharing_consent: column(optional(oneOf(...FILM_CONSENTS)), false),
  note: column(optional(text), false),
};

const calibration = {
  sensor: column(code),
  step: column(text, false),
  direction: column(optional(oneOf('up', 'down')), false),
  applied: column(number()),
  applied_unit: column(oneOf(...PRESSURE_UNITS)),
  raw: column(number()),
  reference_scale_u_pct: column(optionalNumber({ atLeast: 0 }), false),
  reference_zero_u: column(optionalNumber({ atLeast: 0 }), false),
};

const zeros = {
  sensor: column(code),
  /** Blank: the zero of the day. */
  trial: column(optional(code), false),
  when: column(oneOf('before', 'after')),
  raw: column(number()),
};

const checks = {
  sensor: column(code),
  when: column(oneOf('start', 'end')),
  applied: column(number()),
  applied_unit: column(oneOf(...PRESSURE_UNITS)),
  raw: column(number()),
};

const trials = {
  trial: column(code),
  participant: column(code),
  attempt: column(optionalNumber({ atLeast: 1, whole: true }), false),
  condition: column(optional(code), false),
  trace: column(optional(text), false),
  video: column(optional(text), false),
  left_sensor: column(optional(code), false),
  right_sensor: column(optional(code), false),
  left_column: column(optional(text), false),
  right_column: column(optional(text), false),
  section_start_s: column(optionalNumber(), false),
  section_end_s: column(optionalNumber(), false),
  timing_method: column(optional(oneOf('video', 'gate', 'stopwatch')), false),
  timing_u_s: column(optionalNumber({ atLeast: 0 }), false),
  status: column(withDefault(oneOf('recorded', 'accepted', 'excluded'), 'recorded'), false),
  exclusion_reason: column(optional(text), false),
};

/** Where the files of a day name no camera, it is A. */
const camera = column(withDefault(code, MAIN_CAMERA), false);

const videos = { trial: column(code), camera, file: column(path) };

const sync = {
  trial: column(code),
  camera,
  trace_s: column(number()),
  video_s: column(number({ atLeast: 0 })),
  what: column(text, false),
};

const eventToday = oneOf(...EVENTS);

const event: typeof eventToday = (cell, decimalComma) => eventToday(currentEvent(cell), decimalComma);

const events = {
  trial: column(code),
  hand: column(hand),
  stroke: column(stroke),
  event: column(event),
  time_s: column(number()),
  clock: column(oneOf('trace', 'video')),
  camera: column(optional(code), false),
  rater: column(optional(code), false),
  time_u_s: column(optionalNumber({ atLeast: 0 }), false),
  time_u_shared_s: column(optionalNumber({ atLeast: 0 }), false),
  /** Whether who marked was not sure of it; it changes no number. */
  unsure: column(optional(oneOf('yes', 'no')), false),
};

const strokes = {
  trial: column(code),
  hand: column(hand),
  stroke: column(stroke),
  entry_position: column(optional(oneOf(...ENTRY_WORDS)), false),
  breath: column(optional(oneOf('none', 'left', 'right')), false),
  exclusion_reason: column(optional(text), false),
  rater: column(optional(code), false),
  entry_height_cm: column(optionalNumber(), false),
  entry_height_cm_u: column(optionalNumber({ atLeast: 0 }), false),
};

const points = {
  trial: column(code),
  camera,
  time_s: column(number({ atLeast: 0 })),
  point: column(oneOf(...POINTS)),
  x_px: column(number()),
  y_px: column(number()),
  u_px: column(optionalNumber({ atLeast: 0 }), false),
  how: column(oneOf('placed', 'followed')),
  rater: column(optional(code), false),
};

const TABLES = { roster, calibration, zeros, checks, trials, videos, sync, events, strokes, points };

export type TableName = keyof typeof TABLES;

/** Every table of a day folder; the file is the name with `.csv`. */
export const TABLE_NAMES = Object.keys(TABLES) as readonly TableName[];

/** A row of a table as {@link readDayTable} gives it. */
export type RowOf<N extends TableName> =
  ReturnType<typeof readTable<(typeof TABLES)[N]>> extends Slices<infer T extends ReadTable<unknown>>
    ? T['rows'][number]['value']
    : never;

export type RosterRow = RowOf<'roster'>;

export type TrialRow = RowOf<'trials'>;

export type EventRow = RowOf<'events'>;

export type StrokeRow = RowOf<'strokes'>;

export type PointRow = RowOf<'points'>;

/** Column names of one table, in the order of formats.md. */
export function columnsOf(name: TableName): readonly string[] {
  return Object.keys(TABLES[name]);
}

/** Reads one table of the day folder by its columns; see {@link readTable} for what is refused. */
export function* readDayTable<N extends TableName>(
  name: N,
  table: TextTable,
  skip?: (row: TextRow) => boolean,
): Slices<ReadTable<RowOf<N>>> {
  const spec: TableSpec<(typeof TABLES)[N]> = { columns: TABLES[name] };
  return yield* readTable(table, spec.columns, skip);
}

/** Keeps the first of rows that say the same thing (same key); the others are refused. */
export function* keepFirst<T>(
  table: ReadTable<T>,
  file: string,
  key: (value: T, line: number) => string,
  says: (value: T) => string,
): Slices<ReadTable<T>> {
  const firstLine = new Map<string, number>();
  return yield* refuseWhere(table, file, null, (value, line) => {
    const name = key(value, line);
    const first = firstLine.get(name);
    if (first !== undefined)
      return ownFault(
        'twice',
        `Line ${first} already gives ${says(value)}; the first stays. Delete one of the two.`,
      );
    firstLine.set(name, line);
    return null;
  });
}

/**
 * What a day takes of each thing, far beyond what one holds: work on a trial grows faster than its rows do.
 * Pairs are of one camera of a trial.
 */
export const MOST = { trials: 10_000, pairs: 1000 } as const;

/** Refuses rows beyond the most that are taken of one key. @param what such as `moments for one camera of a trial` */
export function* atMost<T>(
  table: ReadTable<T>,
  file: string,
  most: number,
  what: string,
  key: (value: T) => string,
): Slices<ReadTable<T>> {
  const counts = new Map<string, number>();
  return yield* refuseWhere(table, file, null, (value) => {
    const name = key(value);
    const count = (counts.get(name) ?? 0) + 1;
    counts.set(name, count);
    if (count <= most) return null;
    return ownFault('most', `${file} gives more than ${most} ${what}; those after them were left out.`);
  });
}
