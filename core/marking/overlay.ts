/**
 * What people decided on a trial's marking, laid over what its day folder says: marks and judgements of each rater,
 * moments on both clocks, section times, second opinions that are done, and whose marks are reported. Where nothing was
 * decided the trial comes back as it is.
 */
import type { MarkRow, JudgementRow, PairRow, SectionWord } from './words.ts';
import type { Daybook, TrialEntry, SeenPair } from '../day/book.ts';
import { type ReadRow, isCode } from '../base/table.ts';
import type { EventRow, StrokeRow } from '../day/tables.ts';
import { MADE_HERE } from './marking.ts';
import { MAIN_CAMERA } from '../clock/clock.ts';

/** Who marked: a code, or null where the file does not say. */
export type Rater = string | null;

/** A rater's marks and judgements of one trial. */
export interface Opinion {
  readonly rater: string;
  readonly marks: readonly MarkRow[];
  readonly judgements: readonly JudgementRow[];
}

/** Decisions in force on a day's marking; by trial, and there by rater where a rater has their own. */
export interface MarkingOverlay {
  readonly marks: ReadonlyMap<string, ReadonlyMap<Rater, readonly MarkRow[]>>;
  readonly judgements: ReadonlyMap<string, ReadonlyMap<Rater, readonly JudgementRow[]>>;
  readonly pairs: ReadonlyMap<string, readonly PairRow[]>;
  readonly sections: ReadonlyMap<string, SectionWord | null>;
  /** The rater whose marks are reported; absent where the file's order stands. */
  readonly reported: ReadonlyMap<string, Rater>;
  /** Second opinions that are done. */
  readonly opinions: ReadonlyMap<string, readonly Opinion[]>;
}

/** The day with the overlay on it. */
export function overlayMarking(book: Daybook, overlay: MarkingOverlay): Daybook {
  return { ...book, trials: book.trials.map((entry) => overlayEntry(entry, overlay)) };
}

function overlayEntry(entry: TrialEntry, overlay: MarkingOverlay): TrialEntry {
  const { trial } = entry.row;
  const inFile = new Set([...entry.events, ...entry.judgements].flatMap(({ value }) => value.rater ?? []));
  const opinions = (overlay.opinions.get(trial) ?? []).map((opinion) => ({
    ...opinion,
    rater: freeCode(opinion.rater, inFile),
  }));
  const section = overlay.sections.get(trial);
  const pairs = overlay.pairs.get(trial);
  const events = layRows(
    entry.events,
    opinions.flatMap(({ rater, marks }) => eventRows(trial, rater, marks)),
    overlay.marks.get(trial),
    (rater, marks) => eventRows(trial, rater, marks),
    ({ hand, stroke, event }) => `${hand} ${stroke} ${event}`,
    keepMarkU,
  );
  const judgements = layRows(
    entry.judgements,
    opinions.flatMap(({ rater, judgements: own }) => strokeRows(trial, rater, own)),
    overlay.judgements.get(trial),
    (rater, own) => strokeRows(trial, rater, own),
    ({ hand, stroke }) => `${hand} ${stroke}`,
    keepHeight,
  );
  const first = overlay.reported.get(trial);
  return {
    ...entry,
    row: section === undefined ? entry.row : { ...entry.row, ...sectionCells(section) },
    pairs: pairs === undefined ? entry.pairs : pairsByCamera(pairs),
    events: first === undefined ? events : putFirst(events, first),
    judgements: first === undefined ? judgements : putFirst(judgements, first),
  };
}

/**
 * Rows with those of the raters that were edited put in place of their old ones; lines stay where the row is known. The
 * file's raters stand first, then those who marked here, then second opinions: the first rater's marks stay the reported
 * ones until a person decides otherwise.
 */
function layRows<R extends { rater: Rater }, G>(
  inFile: readonly ReadRow<R>[],
  opinions: readonly ReadRow<R>[],
  edited: ReadonlyMap<Rater, readonly G[]> | undefined,
  toRows: (rater: Rater, given: readonly G[]) => readonly ReadRow<R>[],
  keyOf: (row: R) => string,
  keep: (made: R, old: R) => R,
): readonly ReadRow<R>[] {
  const rows = [...inFile, ...opinions];
  if (edited === undefined) return rows;
  const raters = new Set([
    ...inFile.map(({ value }) => value.rater),
    ...edited.keys(),
    ...opinions.map(({ value }) => value.rater),
  ]);
  return [...raters].flatMap((rater) => {
    const own = rows.filter(({ value }) => value.rater === rater);
    const given = edited.get(rater);
    if (given === undefined) return own;
    const old = new Map(own.map((row) => [keyOf(row.value), row]));
    return toRows(rater, given).map(({ value }) => {
      const before = old.get(keyOf(value));
      return before === undefined
        ? { line: MADE_HERE, value }
        : { line: before.line, value: keep(value, before.value) };
    });
  });
}

/** A mark that was not moved keeps the uncertainties that its file gives it, where it says none of its own. */
function keepMarkU(made: EventRow, old: EventRow): EventRow {
  const moved =
    made.time_s !== old.time_s ||
    made.clock !== old.clock ||
    (made.clock === 'video' && made.camera !== (old.camera ?? MAIN_CAMERA));
  if (moved || made.time_u_s !== null || made.time_u_shared_s !== null) return made;
  return { ...made, time_u_s: old.time_u_s, time_u_shared_s: old.time_u_shared_s };
}

/** A height that was measured stays with its stroke whatever is judged of it. */
function keepHeight(made: StrokeRow, old: StrokeRow): StrokeRow {
  return { ...made, entry_height_cm: old.entry_height_cm, entry_height_cm_u: old.entry_height_cm_u };
}

function putFirst<R extends { rater: Rater }>(
  rows: readonly ReadRow<R>[],
  rater: Rater,
): readonly ReadRow<R>[] {
  const [own, others] = [true, false].map((is) => rows.filter(({ value }) => (value.rater === rater) === is));
  return [...own!, ...others!];
}

/** A rater's marks as rows of events.csv. */
export function eventRows(
  trial: string,
  rater: Rater,
  marks: readonly MarkRow[],
): readonly ReadRow<EventRow>[] {
  return marks.map(({ timeS, uS, sharedUS, unsure, ...mark }) => ({
    line: MADE_HERE,
    value: {
      trial,
      ...mark,
      time_s: timeS,
      rater,
      time_u_s: uS,
      time_u_shared_s: sharedUS,
      unsure: unsure === true ? 'yes' : null,
    },
  }));
}

/** A rater's judgements as rows of strokes.csv. */
export function strokeRows(
  trial: string,
  rater: Rater,
  judgements: readonly JudgementRow[],
): readonly ReadRow<StrokeRow>[] {
  return judgements.map(({ hand, stroke, entryPosition, breath, exclusionReason }) => ({
    line: MADE_HERE,
    value: {
      trial,
      hand,
      stroke,
      entry_position: entryPosition,
      breath,
      exclusion_reason: exclusionReason,
      rater,
      entry_height_cm: null,
      entry_height_cm_u: null,
    },
  }));
}

function sectionCells(section: SectionWord | null) {
  return {
    section_start_s: section?.startS ?? null,
    section_end_s: section?.endS ?? null,
    timing_method: section?.method ?? null,
    timing_u_s: section?.uS ?? null,
  };
}

function pairsByCamera(pairs: readonly PairRow[]): ReadonlyMap<string, readonly SeenPair[]> {
  const rows = Map.groupBy(pairs, ({ camera }) => camera);
  return new Map(
    [...rows].map(([camera, own]) => [
      camera,
      own.map(({ traceS, videoS, what }) => ({ traceS, videoS, what })),
    ]),
  );
}

/**
 * A name as a code: letters without their accents, everything else that a code does not take as a hyphen.
 * `none` stands in for a name of which nothing is left.
 */
export function toCode(name: string, none: string): string {
  const plain = name
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .replaceAll(/[^A-Za-z0-9_.-]+/g, '-')
    .replaceAll(/^-+|-+$/g, '')
    .slice(0, 64);
  return isCode(plain) ? plain : none;
}

/** The code, or the code with the first number behind it that makes it one that is not taken. */
export function freeCode(code: string, taken: ReadonlySet<string>): string {
  if (!taken.has(code)) return code;
  for (let number = 2; ; number++) {
    const tail = `-${number}`;
    const next = code.slice(0, 64 - tail.length) + tail;
    if (!taken.has(next)) return next;
  }
}
