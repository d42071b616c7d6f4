/**
 * From rows of events.csv and strokes.csv to the strokes of a trial on the trial's clock. The rater of a trial's first
 * row is the one reported. A mark that no clock can place has no time, and a flag says why; a stroke whose marks are out
 * of order is refused whole. Contract: formats.md section 1.
 */
import { addAll } from '../base/extent.ts';
import {
  type ClockPair,
  type ClockLine,
  fitClock,
  MAIN_CAMERA,
  SAME_CLOCK,
  toVideo,
  toTrace,
} from '../clock/clock.ts';
import {
  type Stroke,
  type Marks,
  orderFault,
  successionFault,
  type Mark,
  EVENTS,
  type EventName,
} from '../stroke/stroke.ts';
import type { Refusal } from '../base/refusal.ts';
import { RefusedRuns } from '../base/refusedruns.ts';
import type { Flag } from '../stroke/flags.ts';
import type { ReadRow } from '../base/table.ts';
import type { EventRow, StrokeRow } from '../day/tables.ts';
import { HANDS, type Hand } from '../base/hand.ts';
import { markU, type Measured } from '../base/uncertainty.ts';
import { clockDoubt, clockLineUS } from '../clock/doubt.ts';

/** The line of a row that was made in the app: it stands on none of a file. */
export const MADE_HERE = 0;

/** What places a trial's marks in time. */
export interface TrialClocks {
  /** Sampling interval of the trace, s; null where the trial has no readable trace. */
  readonly sampleStepS: number | null;
  /** Frame interval by camera, s; absent where it is not known. */
  readonly frameStepS: ReadonlyMap<string, number>;
  readonly pairs: ReadonlyMap<string, readonly ClockPair[]>;
  /** Standard uncertainty of placing a mark, s; null where it is not stated, and is then taken as 0. */
  readonly markingUS: number | null;
}

export interface Marking {
  readonly strokes: readonly Stroke[];
  readonly refused: readonly Refusal[];
  readonly flags: readonly Flag[];
}

/** What the pairs of a trial's cameras say of their clocks: doubtful and unchecked ones, any camera counting. */
export function clockFlags({ pairs, frameStepS, sampleStepS }: TrialClocks): readonly Flag[] {
  const found = [...pairs].map(([camera, own]) =>
    clockDoubt(own, { frameStepS: frameStepS.get(camera) ?? null, sampleStepS }),
  );
  const flags: Flag[] = [];
  if (found.some(({ doubtful }) => doubtful)) flags.push('clock_doubtful');
  if (found.some(({ unchecked }) => unchecked)) flags.push('clock_unchecked');
  return flags;
}

/** Clock line of every camera of a trial that has one. */
export function clocksOf(pairs: ReadonlyMap<string, readonly ClockPair[]>): ReadonlyMap<string, ClockLine> {
  const lines = new Map<string, ClockLine>();
  for (const [camera, own] of pairs) {
    const line = fitClock(own);
    if (line !== null) lines.set(camera, line);
  }
  return lines;
}

/**
 * A camera's clock against the trial's: trial = offset + rate × video. The trial's clock is its trace's, or camera A's
 * where there is no readable trace. Null where nothing ties the two.
 */
export function cameraOnTrial(
  camera: string,
  lines: ReadonlyMap<string, ClockLine>,
  hasTrace: boolean,
): Pick<ClockLine, 'offsetS' | 'rate'> | null {
  if (!hasTrace && camera === MAIN_CAMERA) return SAME_CLOCK;
  const line = lines.get(camera);
  if (line === undefined) return null;
  if (hasTrace) return line;
  const main = lines.get(MAIN_CAMERA);
  if (main === undefined) return null;
  return { offsetS: toVideo(main, line.offsetS), rate: line.rate / main.rate };
}

/** The rows of the rater who is reported: that of the first row. */
export function reportedRows<T extends { rater: string | null }>(
  rows: readonly ReadRow<T>[],
): readonly ReadRow<T>[] {
  return rows.filter(({ value }) => value.rater === rows[0]?.value.rater);
}

/**
 * Puts a trial's strokes together. Rows are those of one trial, all raters, in the files' order. Strokes of the rater
 * who is reported come out; those of the others serve agreement, and are refused here where their marks are out of order.
 */
export function assembleStrokes(
  events: readonly ReadRow<EventRow>[],
  judgements: readonly ReadRow<StrokeRow>[],
  clocks: TrialClocks,
): Marking {
  const [first, ...others] = [...Map.groupBy(events, ({ value }) => value.rater).values()];
  const marking = strokesOfRater(first ?? [], reportedRows(judgements), clocks);
  const refused = others.flatMap((rows) => strokesOfRater(rows, [], clocks).refused);
  return refused.length === 0 ? marking : { ...marking, refused: [...marking.refused, ...refused] };
}

/** The strokes of one rater, from that rater's rows. */
function strokesOfRater(
  events: readonly ReadRow<EventRow>[],
  judgements: readonly ReadRow<StrokeRow>[],
  clocks: TrialClocks,
): Marking {
  const refused: Refusal[] = [];
  const flags = new Set<Flag>();
  const lines = clocksOf(clocks.pairs);
  const placed = events.map(({ line, value }): Placed => {
    const mark = place(value, clocks, lines);
    if (typeof mark === 'object') return { line, row: value, mark };
    flags.add(mark);
    return { line, row: value, mark: null };
  });
  const judged = new Map(judgements.map(({ value }) => [`${value.hand} ${value.stroke}`, value]));
  const strokes: Stroke[] = [];
  const seen = new Set<string>();
  for (const hand of HANDS) {
    let previous: Marks = {};
    for (const [number, own] of byStroke(placed, hand)) {
      const marks: Marks = marksOf(own);
      seen.add(`${hand} ${number}`);
      const fault = orderFault(marks) ?? successionFault(previous, marks);
      if (fault !== null) {
        const reason = `The ${hand} hand’s stroke ${number} was left out whole: ${fault}. Correct its marks.`;
        addAll(refused, strokeRefusals(own, reason));
        continue;
      }
      previous = marks;
      const judgement = judged.get(`${hand} ${number}`);
      strokes.push({
        hand,
        number,
        marks,
        propulsionClocks: own.flatMap(({ row }) => (PROPULSION.has(row.event) ? row.clock : [])),
        entryPosition: judgement?.entry_position ?? null,
        entryHeightCm: heightOf(judgement),
        breath: judgement?.breath ?? null,
        exclusionReason: judgement?.exclusion_reason || null,
      });
    }
  }
  if ([...judged.keys()].some((key) => !seen.has(key))) flags.add('judged_unmarked');
  return { strokes: shareAlike(strokes), refused, flags: [...flags] };
}

function heightOf(judgement: StrokeRow | undefined): Measured | null {
  const value = judgement?.entry_height_cm ?? null;
  return value === null ? null : { value, u: judgement?.entry_height_cm_u ?? null };
}

function marksOf(own: readonly Placed[]): Marks {
  const marks: Partial<Record<EventName, Mark>> = {};
  for (const { row, mark } of own) if (mark !== null) marks[row.event] = mark;
  return marks;
}

/** Gives all marks of one event the shared uncertainty of that event: the largest that one of them states. */
function shareAlike(strokes: readonly Stroke[]): readonly Stroke[] {
  if (!strokes.some(({ marks }) => EVENTS.some((event) => (marks[event]?.sharedUS ?? 0) !== 0)))
    return strokes;
  const shared = new Map<string, number>();
  for (const { marks } of strokes)
    for (const [event, { sharedUS }] of Object.entries(marks))
      shared.set(event, Math.max(sharedUS, shared.get(event) ?? 0));
  return strokes.map((stroke) => ({
    ...stroke,
    marks: Object.fromEntries(
      Object.entries(stroke.marks).map(([event, mark]) => [event, { ...mark, sharedUS: shared.get(event)! }]),
    ),
  }));
}

/** A stroke refused whole: its rows of the file by runs of lines; those made in the app, which have none, as one. */
function strokeRefusals(own: readonly Placed[], reason: string): readonly Refusal[] {
  const file = 'events.csv';
  const ofFile = new RefusedRuns(file);
  for (const { line } of own) if (line !== MADE_HERE) ofFile.add(line, 'time_s', 'order', () => reason);
  const madeHere = own.some(({ line }) => line === MADE_HERE);
  return [...ofFile.list(), ...(madeHere ? [{ file, line: MADE_HERE, field: 'time_s', reason }] : [])];
}

interface Placed {
  readonly line: number;
  readonly row: EventRow;
  /** Null where no clock places it; the reason is among the flags. */
  readonly mark: Mark | null;
}

const PROPULSION: ReadonlySet<EventName> = new Set(['propulsion_start', 'propulsion_end']);

type Unplaced = 'no_sync' | 'sync_contradiction' | 'no_trace_clock';

/** A mark on the trial's clock, or the flag that says why no clock places it. */
export function place(
  row: EventRow,
  clocks: TrialClocks,
  lines: ReadonlyMap<string, ClockLine>,
): Mark | Unplaced {
  const { sampleStepS, frameStepS, pairs, markingUS } = clocks;
  const hasTrace = sampleStepS !== null;
  const sharedUS = row.time_u_shared_s ?? 0;
  const reading = (stepS: number | null) => row.time_u_s ?? markU(stepS, markingUS ?? 0);
  if (row.clock === 'trace') {
    const about = { uS: reading(sampleStepS), clock: 'trace', sharedUS, clockUS: 0 } as const;
    if (hasTrace) return { timeS: row.time_s, ...about };
    const main = lines.get(MAIN_CAMERA);
    if (main === undefined) return 'no_trace_clock';
    // Without a trace, camera A's clock is the trial's.
    return { timeS: toTrace(SAME_CLOCK, toVideo(main, row.time_s)), ...about };
  }
  const camera = row.camera ?? MAIN_CAMERA;
  const line = cameraOnTrial(camera, lines, hasTrace);
  if (line === null) {
    const needed = hasTrace ? [camera] : [camera, MAIN_CAMERA];
    const contradict = needed.some((name) => !lines.has(name) && (pairs.get(name) ?? []).length > 1);
    return contradict ? 'sync_contradiction' : 'no_sync';
  }
  const stepS = frameStepS.get(camera) ?? null;
  return {
    timeS: toTrace(line, row.time_s),
    uS: reading(stepS),
    clock: 'video',
    sharedUS,
    clockUS: clockLineUS(pairs.get(camera) ?? [], row.time_s, { frameStepS: stepS, sampleStepS }),
  };
}

function byStroke(placed: readonly Placed[], hand: Hand): [number, Placed[]][] {
  const own = placed.filter(({ row }) => row.hand === hand);
  return [...Map.groupBy(own, ({ row }) => row.stroke)].toSorted(([a], [b]) => a - b);
}
