/**
 * A day with every decision in it as the tables of a day folder: read back, they give the same numbers. Contract:
 * formats.md section 1.
 */
import { type Hand, HANDS } from '../base/hand.ts';
import type { HandArea } from '../force/handarea.ts';
import type { Daybook, TrialEntry, FilmEntry } from '../day/book.ts';
import { dayJsonText, dayTableText } from './dayfolder.ts';
import type { RosterRow, RowOf } from '../day/tables.ts';
import type { ZeroReadings } from '../sensor/calibration.ts';
import { MAIN_CAMERA } from '../clock/clock.ts';

/** What a person decided of a trial. */
export interface TrialWord {
  readonly status: 'recorded' | 'accepted' | 'excluded';
  readonly reason: string | null;
}

type KeptAreas = ReadonlyMap<string, Readonly<Record<Hand, HandArea | null>>>;

/**
 * A day without the films that are not to go along: rows that name them are blank. Marks made on them stay; their
 * camera's frame interval is then the one of day.json.
 */
export function withoutFilms(book: Daybook, leaves: (entry: TrialEntry) => boolean): Daybook {
  const trials = book.trials.map((entry) =>
    leaves(entry)
      ? { ...entry, row: { ...entry.row, video: null }, films: new Map<string, FilmEntry>() }
      : entry,
  );
  return { ...book, trials };
}

/**
 * The day's tables and day.json, by file name; a table without rows is left out where the contract asks for none.
 * @param book the day with the decisions on its trials laid over it
 * @param words status of each trial, by its code
 * @param areas kept hand areas, by participant
 */
export function dayFolderTexts(
  book: Daybook,
  words: ReadonlyMap<string, TrialWord>,
  areas: KeptAreas,
): ReadonlyMap<string, string> {
  const of = <T>(rows: (entry: TrialEntry) => readonly T[]) => book.trials.flatMap(rows);
  const texts = new Map<string, string>([
    ['day.json', dayJsonText(book.day)],
    [
      'roster.csv',
      dayTableText(
        'roster',
        book.roster.map((row) => rosterRow(row, areas.get(row.participant))),
      ),
    ],
    [
      'trials.csv',
      dayTableText(
        'trials',
        of((entry) => [trialRow(entry, words.get(entry.row.trial))]),
      ),
    ],
  ]);
  const add = (file: string, rows: readonly unknown[], text: () => string) => {
    if (rows.length > 0) texts.set(file, text());
  };
  const calibration = calibrationRows(book);
  const zeros = [...zeroRows(null, book.dayZeros), ...of((entry) => zeroRows(entry.row.trial, entry.zeros))];
  const checks = checkRows(book);
  const [videos, sync] = [of(videoRows), of(syncRows)];
  const events = of((entry) => entry.events.map(({ value }) => value));
  const strokes = of((entry) => entry.judgements.map(({ value }) => value));
  add('calibration.csv', calibration, () => dayTableText('calibration', calibration));
  add('zeros.csv', zeros, () => dayTableText('zeros', zeros));
  add('checks.csv', checks, () => dayTableText('checks', checks));
  add('videos.csv', videos, () => dayTableText('videos', videos));
  add('sync.csv', sync, () => dayTableText('sync', sync));
  add('events.csv', events, () => dayTableText('events', events));
  add('strokes.csv', strokes, () => dayTableText('strokes', strokes));
  add('points.csv', book.points, () => dayTableText('points', book.points));
  return texts;
}

/** Kept areas in place of the roster's; one uncertainty for both hands where it is one, else one for each. */
export function rosterRow<T extends RosterRow>(
  row: T,
  kept: Readonly<Record<Hand, HandArea | null>> | undefined,
): T {
  if (kept === undefined || HANDS.every((hand) => kept[hand] === null)) return row;
  const { left, right } = kept;
  return {
    ...row,
    left_hand_area_cm2: left?.cm2 ?? row.left_hand_area_cm2,
    right_hand_area_cm2: right?.cm2 ?? row.right_hand_area_cm2,
    hand_area_u_cm2: null,
    left_hand_area_u_cm2: left === null ? (row.left_hand_area_u_cm2 ?? row.hand_area_u_cm2) : left.uCm2,
    right_hand_area_u_cm2: right === null ? (row.right_hand_area_u_cm2 ?? row.hand_area_u_cm2) : right.uCm2,
    left_hand_area_method: left?.method ?? row.left_hand_area_method,
    right_hand_area_method: right?.method ?? row.right_hand_area_method,
  };
}

function trialRow({ row }: TrialEntry, word: TrialWord | undefined): RowOf<'trials'> {
  return word === undefined ? row : { ...row, status: word.status, exclusion_reason: word.reason };
}

function calibrationRows({ calibrations }: Daybook): readonly RowOf<'calibration'>[] {
  return [...calibrations].flatMap(([sensor, { entries }]) =>
    entries.map(({ applied, appliedUnit, raw, direction, referenceScaleUPct, referenceZeroU }, index) => ({
      sensor,
      step: String(index + 1),
      direction,
      applied,
      applied_unit: appliedUnit,
      raw,
      reference_scale_u_pct: referenceScaleUPct,
      reference_zero_u: referenceZeroU,
    })),
  );
}

function checkRows({ checks }: Daybook): readonly RowOf<'checks'>[] {
  return [...checks].flatMap(([sensor, entries]) =>
    entries.map(({ when, applied, appliedUnit, raw }) => ({
      sensor,
      when,
      applied,
      applied_unit: appliedUnit,
      raw,
    })),
  );
}

function zeroRows(trial: string | null, zeros: ReadonlyMap<string, ZeroReadings>): readonly RowOf<'zeros'>[] {
  return [...zeros].flatMap(([sensor, readings]) =>
    (['before', 'after'] as const).flatMap((when) => {
      const raw = readings[when];
      return raw === null ? [] : [{ sensor, trial, when, raw }];
    }),
  );
}

function videoRows({ row, films }: TrialEntry): readonly RowOf<'videos'>[] {
  return [...films]
    .filter(([camera]) => camera !== MAIN_CAMERA || row.video === null)
    .map(([camera, { file }]) => ({ trial: row.trial, camera, file }));
}

function syncRows({ row: { trial }, pairs }: TrialEntry): readonly RowOf<'sync'>[] {
  return [...pairs].flatMap(([camera, own]) =>
    own.map(({ traceS, videoS, what }) => ({ trial, camera, trace_s: traceS, video_s: videoS, what })),
  );
}
