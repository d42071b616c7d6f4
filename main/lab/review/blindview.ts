/** A trial as a second rater sees it: nothing tells whose it is. */
import type { TrialEntry } from '../../../core/day/book.ts';
import { eventRows, strokeRows } from '../../../core/marking/overlay.ts';
import type { BlindTrial } from '../../../core/contract/review.ts';
import { sectionOf } from '../../../core/trial/input.ts';
import type { FilmView } from '../../../core/contract/views.ts';
import { itemToken, type BlindItem, type KeptBlindSession } from '../kept/blindsessions.ts';
import { markingOf } from '../kept/marks.ts';
import type { Session } from '../kept/session.ts';
import { type KeptDay } from '../kept/keptday.ts';
import { computeTrial } from '../kept/outcome.ts';

/** An item of a session with its day. */
export interface Place {
  readonly day: KeptDay;
  readonly record: KeptBlindSession;
  readonly own: BlindItem;
}

/** The trial of an item with this rater's marks and judgements alone. */
export function blindEntry({ day, record, own }: Place): TrialEntry {
  const entry = day.book.trials.find(({ row }) => row.trial === own.trial)!;
  return {
    ...entry,
    events: eventRows(own.trial, record.rater, own.marks),
    judgements: strokeRows(own.trial, record.rater, own.judgements),
  };
}

export async function blindView(session: Session, place: Place): Promise<BlindTrial> {
  const { day, record, own } = place;
  const entry = blindEntry(place);
  const { result, progress, trace, films } = await computeTrial(session, day, entry);
  const { book, row } = day;
  const marking = markingOf(entry);
  // What a person wrote beside a moment may hold a name.
  const pairs = marking.pairs.map((pair) => ({ ...pair, what: '' }));
  const there = new Set<string>(book.trials.map((one) => one.row.trial));
  const items = record.items.filter(({ trial }) => there.has(trial));
  const at = items.findIndex(({ item }) => item === own.item);
  const token = (item: BlindItem | undefined) =>
    item === undefined ? null : itemToken(record.id, item.item);
  return {
    session: record.id,
    item: own.item,
    dayId: row.id,
    day: row.day,
    trial: itemToken(record.id, own.item),
    exclusionReason: null,
    timingMethod: entry.row.timing_method,
    section: sectionOf(entry),
    protocol: book.day.protocol,
    poolLengthM: book.day.pool.lengthM,
    trace,
    films: films.map(withoutName),
    result,
    progress,
    // The size of a hand and the sensor it wore would tell whose it is.
    areas: { left: null, right: null },
    calibrations: { left: null, right: null },
    marking: { ...marking, pairs, rater: record.rater, raters: [record.rater] },
    previousTrial: token(items[at - 1]),
    nextTrial: token(items[at + 1]),
    nextUnmarked: null,
    canUndo: session.store.canUndo(row.id),
    canRedo: session.store.canRedo(row.id),
  };
}

/** Films are often named after their trial. */
function withoutName(film: FilmView): FilmView {
  const name = `film of camera ${film.camera}`;
  return { ...film, file: name, fault: film.fault?.replaceAll(film.file, name) ?? null };
}
