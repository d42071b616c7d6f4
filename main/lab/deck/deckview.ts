/** What the screens of a running day show. */
import { MAIN_CAMERA } from '../../../core/clock/clock.ts';
import { basename } from 'node:path';
import type { LabError } from '../../../core/base/refusal.ts';
import { HANDS } from '../../../core/base/hand.ts';
import { sensorWorn, type TrialEntry } from '../../../core/day/book.ts';
import { boardTurns, restUntil, withoutHidden } from '../../../core/deck/board.ts';
import { closeView } from '../../../core/deck/closing.ts';
import { reportKnownPressures } from '../../../core/deck/knownpressure.ts';
import type { CloseView, DeckTrialView, WatchView } from '../../../core/deck/views.ts';
import type { DeckPulse, DeckView } from '../../../core/contract/deck.ts';
import { deckDay } from '../../../core/deck/tables.ts';
import { elsewhereOf } from '../../../core/day/checks.ts';
import { readyItems } from '../../../core/deck/ready.ts';
import { done, type Outcome } from '../../../core/base/refusal.ts';
import type { SectionWord } from '../../../core/marking/words.ts';
import { sectionOf } from '../../../core/trial/input.ts';
import type { BoardTrial } from '../../../core/deck/deck.ts';
import { arrivalReport } from './deckarrival.ts';
import { lastVerification } from '../kept/lastverification.ts';
import { lastBackupOf } from './deckclose.ts';
import { deckPage } from './deckpages.ts';
import { deckOf, deckStateOf, requireDeck, type DeckState } from '../kept/deckstate.ts';
import type { Resource } from '../kept/port.ts';
import type { Session } from '../kept/session.ts';
import { keptDay, type KeptDay } from '../kept/keptday.ts';
import type { Watches } from '../watch/watch.ts';

export function viewPulse(session: Session, watches: Watches, id: number): Outcome<DeckPulse, LabError> {
  const state = requireDeck(session, id);
  if (!state.ok) return state;
  return done({ version: versionOf(session, state.value), watch: watches.view(id) });
}

/** Changes with every act, undo and file of the day. */
function versionOf({ store }: Session, { id, arrivals }: DeckState): string {
  return `${store.lastTurn(id)}.${arrivals.at(-1)?.id ?? 0}`;
}

export async function viewDeck(
  session: Session,
  watches: Watches,
  id: number,
): Promise<Outcome<DeckView, LabError>> {
  const found = requireDeck(session, id);
  if (!found.ok) return found;
  const day = await keptDay(session, id);
  if (!day.ok) return day;
  const state = found.value;
  const { plan, board } = withoutHidden(deckOf(state));
  const content = state.protocol.content;
  return done({
    id,
    day: state.day,
    protocol: state.protocol,
    plan,
    board,
    ...boardTurns(board.trials),
    restUntilMs: restUntil(board.trials, content.restMinS),
    trials: await trialViews(session, state, day.value),
    files: state.files,
    ready: readyOf(state, watches.view(id)),
    watch: watches.view(id),
    knownPressures: knownPressuresOf(state),
    version: versionOf(session, state),
    canUndo: session.store.canUndo(id),
    canRedo: session.store.canRedo(id),
  });
}

/** What is missing and what was done, when the day is closed. */
export async function viewClose(session: Session, id: number): Promise<Outcome<CloseView, LabError>> {
  const state = requireDeck(session, id);
  if (!state.ok) return state;
  const day = await keptDay(session, id);
  if (!day.ok) return day;
  return done(closeOf(session, state.value, await trialViews(session, state.value, day.value)));
}

function closeOf(session: Session, state: DeckState, trials: readonly DeckTrialView[]): CloseView {
  return closeView({
    ...state,
    trials,
    knownPressures: knownPressuresOf(state),
    lastBackup: lastBackupOf(session),
    lastVerification: lastVerification(session),
  });
}

/** The day's log or its deck sheets; null where the day is not run here, or the host cannot print. */
export async function dayPage(
  session: Session,
  id: number,
  page: 'log' | 'sheets',
  kind: 'html' | 'pdf',
): Promise<Resource | null> {
  const state = deckStateOf(session, id);
  if (state === null) return null;
  return deckPage(session, state, page, kind, async () => {
    const day = await keptDay(session, id);
    if (!day.ok) throw new Error(day.error.says);
    const trials = await trialViews(session, state, day.value);
    return {
      trials,
      knownPressures: knownPressuresOf(state),
      close: closeOf(session, state, trials),
      hashes: new Map(
        state.arrivals.flatMap(({ id: file, sha256 }) => (sha256 === null ? [] : [[file, sha256] as const])),
      ),
    };
  });
}

function knownPressuresOf(state: DeckState) {
  const { plan, board, protocol } = state;
  const { accept } = protocol.content;
  const day = deckDay(state.day, deckOf(state), protocol.content);
  return plan.sensors.map((sensor) =>
    reportKnownPressures({
      sensor,
      board,
      maxZeroShiftKpa: accept.maxZeroShiftKpa,
      maxCheckDeviationKpa: accept.maxCheckDeviationKpa,
      elsewhere: elsewhereOf(day, sensor.sensor),
    }),
  );
}

function watchText({ state, folder, says }: WatchView): string {
  if (state === 'off')
    return 'No folder is watched: files of the acquisition computer do not come in by themselves.';
  return says === '' ? `Files come in from ${basename(folder ?? '')}.` : says;
}

/** One for every trial that may be shown, in the order of the board. */
async function trialViews(
  session: Session,
  state: DeckState,
  day: KeptDay,
): Promise<readonly DeckTrialView[]> {
  const { board } = withoutHidden(deckOf(state));
  const entries = new Map<string, TrialEntry>(day.book.trials.map((entry) => [entry.row.trial, entry]));
  const trials: DeckTrialView[] = [];
  for (const swim of board.trials)
    trials.push(await trialView(session, state, day, swim, entries.get(swim.trial) ?? null));
  return trials;
}

function readyOf(state: DeckState, watch: WatchView) {
  return [
    ...readyItems(deckOf(state), state.protocol.content),
    {
      what: 'watch' as const,
      done: watch.state === 'watching',
      needed: false,
      says: watchText(watch),
    },
  ];
}

async function trialView(
  session: Session,
  state: DeckState,
  day: KeptDay,
  swim: BoardTrial,
  entry: TrialEntry | null,
): Promise<DeckTrialView> {
  const own = state.files.filter((file) => file.state === 'placed' && file.place?.trial === swim.trial);
  const found = entry === null ? null : await arrivalReport(session, state, day, entry);
  return {
    trial: swim.trial,
    trace: own.find(({ place }) => place?.as === 'trace')?.id ?? null,
    films: own.flatMap(({ id, place }) =>
      place?.as === 'film' ? [{ camera: place.camera ?? MAIN_CAMERA, file: id }] : [],
    ),
    report:
      found === null || own.length === 0
        ? null
        : { verdict: found.verdict, says: found.findings[0]?.says ?? '' },
    section: entry === null ? null : wordOf(entry),
    zerosRead:
      entry !== null &&
      HANDS.every((hand) => {
        const sensor = sensorWorn(day.book.day, entry.row, hand);
        const read = sensor === null ? undefined : entry.zeros.get(sensor);
        return read?.before != null && read.after !== null;
      }),
  };
}

/** The section times that the day's trials have, by trial. */
export async function sectionsOf(
  session: Session,
  id: number,
): Promise<Outcome<ReadonlyMap<string, SectionWord>, LabError>> {
  const day = await keptDay(session, id);
  if (!day.ok) return day;
  return done(
    new Map(
      day.value.book.trials.flatMap((entry) => {
        const word = wordOf(entry);
        return word === null ? [] : [[entry.row.trial, word] as const];
      }),
    ),
  );
}

function wordOf(entry: TrialEntry): SectionWord | null {
  const section = sectionOf(entry);
  if (section === null) return null;
  return { ...section, method: entry.row.timing_method, uS: entry.row.timing_u_s };
}
