/** Where marks lie in time: each on the clock it was made on, and on the trial's. */
import type { TraceS } from '../../../core/base/units.ts';
import { toTrace, toVideo } from '../../../core/clock/clock.ts';
import type { MarkRow } from '../../../core/marking/words.ts';
import { eventWords, type EventName } from '../../../core/stroke/stroke.ts';
import type { FilmView, TrialView } from '../../../core/contract/views.ts';
import { formatValue } from '../../format.ts';
import { nearestFrame } from '../frames.ts';
import { strokeWords } from './judging.ts';

type Seen = Pick<TrialView, 'films' | 'trace'>;

/** A clock that marks are made on: the trace's, or a camera's. */
export type MarkClock = Pick<MarkRow, 'clock' | 'camera'>;

export interface RowMark {
  readonly row: MarkRow;
  readonly key: string;
  /** s, on the trial's clock; null where no clock places it. */
  readonly timeS: TraceS | null;
}

/** A mark that has a time on the trial's clock. */
export type TimedMark = RowMark & { readonly timeS: TraceS };

/** What tells a mark from all others of its trial. */
export function markKey(row: Pick<MarkRow, 'hand' | 'stroke' | 'event'>): string {
  return `${row.hand} ${row.stroke} ${row.event}`;
}

/** The camera's film; null where the trial has none of that camera. */
export function filmOf({ films }: Seen, camera: string | null): FilmView | null {
  return films.find((film) => film.camera === camera) ?? null;
}

/** A moment on a mark's own clock (s), on the trial's; null where nothing ties the two. */
export function onTrial(view: Seen, { clock, camera }: MarkClock, ownS: number): TraceS | null {
  if (clock === 'trace') return view.trace === null ? null : ownS;
  const line = filmOf(view, camera)?.clock ?? null;
  return line === null ? null : toTrace(line, ownS);
}

/** A moment on the trial's clock (s), on a mark's own; null where nothing ties the two. */
export function onOwn(view: Seen, { clock, camera }: MarkClock, trialS: TraceS): number | null {
  if (clock === 'trace') return view.trace === null ? null : trialS;
  const line = filmOf(view, camera)?.clock ?? null;
  return line === null ? null : toVideo(line, trialS);
}

/** Every mark, in order of the trial's clock; those that no clock places come last. */
export function rowMarks(view: Seen, rows: readonly MarkRow[]): readonly RowMark[] {
  return rows
    .map((row) => ({ row, key: markKey(row), timeS: onTrial(view, row, row.timeS) }))
    .toSorted((a, b) => (a.timeS ?? Infinity) - (b.timeS ?? Infinity));
}

export function isTimed(mark: RowMark): mark is TimedMark {
  return mark.timeS !== null;
}

/** What a mark was made on, in words: `film A, frame 454` or `force trace`. */
export function madeOn(view: Seen, row: MarkClock & { readonly timeS: number }): string {
  if (row.clock === 'trace') return 'force trace';
  const film = filmOf(view, row.camera);
  const frame = film === null ? null : nearestFrame(film, row.timeS);
  return `film ${row.camera ?? ''}${frame === null ? '' : `, frame ${frame}`}`;
}

/** A mark's name: `Left 6, water entry`. */
export function markName(row: Pick<MarkRow, 'hand' | 'stroke' | 'event'>): string {
  return `${strokeWords(row)}, ${eventWords(row.event)}`;
}

/** A mark in full: name, moment, what it was made on. */
export function markSentence(view: Seen, { row, timeS }: RowMark): string {
  const when = timeS === null ? 'not on the trial’s clock' : formatValue(timeS, 's', 3);
  return `${markName(row)}, ${when}, ${madeOn(view, row)}${row.unsure === true ? ', unsure' : ''}`;
}

/** The standard uncertainty that a mark counts with, in words, and where it comes from. */
export function markSpread({ result }: Pick<TrialView, 'result'>, { row }: RowMark): string {
  const stroke = result.strokes.find(
    ({ stroke: one }) => one.hand === row.hand && one.number === row.stroke,
  )?.stroke;
  const mark = stroke?.marks[row.event] ?? null;
  if (mark === null) return '± not known: no clock places it, or its stroke is refused';
  if (mark.uS === null) return '± not known: nothing says how often the film or trace was read';
  const own = formatValue(1000 * mark.uS, 'ms', 1);
  const from = row.uS === null ? 'reading and placing' : 'its own';
  const shared =
    mark.sharedUS > 0
      ? `, and ±\u00a0${formatValue(1000 * mark.sharedUS, 'ms', 1)} that all marks of this event share`
      : '';
  return `±\u00a0${own} (${from})${shared}`;
}

/** Names short enough for a row of seven buttons. */
export const SHORT_EVENTS: Readonly<Record<EventName, string>> = {
  water_entry: 'Water entry',
  full_reach: 'Full reach',
  hand_below_shoulder: 'Below shoulder',
  propulsion_start: 'Propulsion start',
  shoulder_plane: 'Shoulder plane',
  propulsion_end: 'Propulsion end',
  water_exit: 'Water exit',
};
