/** The report of a trial on arrival: computed from its files as they came, again only when something of it changed. */
import { reportArrival, type ArrivalReport, type ArrivalInput } from '../../../core/arrival/report.ts';
import { type ArrivalFilm } from '../../../core/arrival/film.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import { sensorWorn, type TrialEntry } from '../../../core/day/book.ts';
import { filmHolds } from '../../../core/day/tables.ts';
import { placeByName } from '../../../core/arrival/names.ts';
import type { DeckArrivalView } from '../../../core/contract/deck.ts';
import type { FileView } from '../../../core/deck/views.ts';
import { codecFault } from '../../../core/arrival/codec.ts';
import { clocksOf } from '../../../core/marking/marking.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { requireDeck, type DeckState } from '../kept/deckstate.ts';
import { rememberSeries, rememberTrial } from '../kept/memory.ts';
import { inputOf, type TrialReading } from '../kept/process.ts';
import type { Session } from '../kept/session.ts';
import { findTrial, keptDay, type KeptDay } from '../kept/keptday.ts';
import { fingerprintOf } from '../kept/outcome.ts';

export async function viewArrival(
  session: Session,
  id: number,
  trial: string,
): Promise<Outcome<DeckArrivalView, LabError>> {
  const state = requireDeck(session, id);
  if (!state.ok) return state;
  const day = await keptDay(session, id);
  if (!day.ok) return day;
  const entry = findTrial(day.value, trial);
  if (!entry.ok)
    return failed({
      code: 'not_found',
      says: `${trial} has not been swum, and no file of it has come.`,
      todo: 'Look at it once it has been swum.',
    });
  return done({ trial, report: await arrivalReport(session, state.value, day.value, entry.value) });
}

/** Files of a trial may come this long after its end: trace and film come apart (common practice, no source). */
const STILL_COMES_MS = 10 * 60_000;

interface Kept {
  readonly key: string;
  readonly report: ArrivalReport;
}

const known = new WeakMap<Session['store'], Map<string, Kept>>();

/** Forgets every check that was made: what they were made of is no longer there. */
export function forgetChecks({ store }: Session): void {
  known.delete(store);
}

/** What is found on a trial on arrival. */
export async function arrivalReport(
  session: Session,
  state: DeckState,
  day: KeptDay,
  entry: TrialEntry,
): Promise<ArrivalReport> {
  const { trial } = entry.row;
  const about = aboutTrial(state, day, entry);
  const unreadable = unreadableOf(state, entry);
  const key = JSON.stringify([fingerprintOf(session.version, day, entry), about, unreadable]);
  const checks = known.get(session.store) ?? new Map<string, Kept>();
  known.set(session.store, checks);
  const place = `${state.id} ${trial}`;
  const last = checks.get(place);
  if (last?.key === key) return last.report;
  const reading = await rememberTrial(session, day, entry);
  const { input } = inputOf(day.book, entry, reading);
  const report = reportArrival({
    ...about,
    trial: input,
    series: rememberSeries(reading, input),
    traceFault:
      reading.refused.find(({ file, line }) => file === entry.row.trace && line === null)?.reason ??
      unreadable.trace,
    refusedRows: refusedRowsOf(reading, entry.row.trace),
    films: [...filmsOf(entry, reading), ...unreadable.films],
  });
  checks.set(place, { key, report });
  return report;
}

function refusedRowsOf({ refused }: TrialReading, trace: string | null): number {
  return refused.reduce(
    (sum, { file, line, rows }) => sum + (file === trace && line !== null ? (rows ?? 1) : 0),
    0,
  );
}

/** What the day, not the files, says of a trial. */
function aboutTrial(
  state: DeckState,
  { book }: KeptDay,
  entry: TrialEntry,
): Pick<ArrivalInput, 'protocol' | 'cameras' | 'earlierZeroRaw' | 'cameraOnly' | 'mayStillCome'> {
  const { content } = state.protocol;
  const swim = state.board.trials.find(({ trial }) => trial === entry.row.trial);
  const zeroOf = (hand: Hand): number | null => {
    const sensor = sensorWorn(book.day, entry.row, hand);
    if (sensor === null) return null;
    const before = book.trials.slice(0, book.trials.indexOf(entry)).toReversed();
    for (const other of before) {
      const read = other.zeros.get(sensor);
      const raw = read?.after ?? read?.before;
      if (raw != null) return raw;
    }
    return state.board.zeros.find((zero) => zero.sensor === sensor && zero.when === 'start')?.raw ?? null;
  };
  const [left, right] = HANDS.map(zeroOf);
  return {
    protocol: content,
    cameras: filmHolds(entry.participant) ? content.cameras : [],
    earlierZeroRaw: { left: left ?? null, right: right ?? null },
    cameraOnly: swim?.beganMs === null && entry.row.trace === null && entry.films.size > 0,
    mayStillCome:
      state.board.closed === null && (swim?.endedMs == null || Date.now() - swim.endedMs < STILL_COMES_MS),
  };
}

/** What came for a trial by its name and was kept aside, where nothing that can be read has come for the same place. */
function unreadableOf(
  { files, plan, board, protocol }: DeckState,
  { row, films }: TrialEntry,
): { readonly trace: string | null; readonly films: readonly ArrivalFilm[] } {
  const cameras = protocol.content.cameras.map(({ camera }) => camera);
  const named = files.flatMap(({ name, state, says }: FileView) => {
    const place =
      state === 'unreadable' ? placeByName(name, plan.setup.files.names, board.trials, cameras) : null;
    return place?.trial === row.trial ? [{ name, says, ...place }] : [];
  });
  const latest = new Map(named.filter(({ as }) => as === 'film').map((film) => [film.camera!, film]));
  return {
    trace: row.trace === null ? (named.findLast(({ as }) => as === 'trace')?.says ?? null) : null,
    films: [...latest]
      .filter(([camera]) => !films.has(camera))
      .map(([camera, { name, says }]) => ({ camera, file: name, frameTimesS: [], fault: says, clock: null })),
  };
}

function filmsOf(entry: TrialEntry, reading: TrialReading): readonly ArrivalFilm[] {
  const lines = clocksOf(entry.pairs);
  return [...entry.films].map(([camera, { file }]) => {
    const film = reading.films.get(camera);
    const refused = reading.refused.find((refusal) => refusal.file === file)?.reason;
    return {
      camera,
      file,
      frameTimesS: film?.frameTimesS ?? [],
      fault:
        film === undefined ? (refused ?? `${file} is not in the lab folder.`) : codecFault(file, film.codec),
      clock: lines.get(camera) ?? null,
    };
  });
}
