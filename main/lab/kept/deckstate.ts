/** A day that is run here, as it stands: its plan and board in force, and its files with their places. */
import type { LabError } from '../../../core/base/refusal.ts';
import type { DeckBoard, DeckPlan } from '../../../core/deck/deck.ts';
import { withAllSensors } from '../../../core/deck/acts.ts';
import { type Deck } from '../../../core/deck/act.ts';
import { pathOfFile, type PlacedFile } from '../../../core/deck/tables.ts';
import { namesWithdrawn, UNNAMED } from '../../../core/deck/veil.ts';
import { noteWithdrawn, withWithdrawals } from '../../../core/deck/withdrawal.ts';
import { nameWithheld, placeFiles } from '../../../core/arrival/places.ts';
import type { FilesOf } from '../../../core/arrival/facts.ts';
import { firstPlan } from '../../../core/deck/plan.ts';
import { firstBoard } from '../../../core/deck/trials.ts';
import type { FileView } from '../../../core/deck/views.ts';
import type { ProtocolContent } from '../../../core/protocol/content.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import type { KeptArrival } from '../../store/arrivals.ts';
import type { DeckDayRow } from '../../store/protocols.ts';
import { BOARD_SHAPE, PLAN_SHAPE, SETUP_SHAPE } from '../shapes/deck.ts';
import { KeptFault, readKept } from '../shapes/shape.ts';
import { readDecided } from './readdecided.ts';
import { readProtocol } from './readprotocol.ts';
import type { Session } from './session.ts';

/** Subject of the decisions that run a day; its keys are the two parts. */
export const DECK = 'deck';

export interface DeckState {
  readonly id: number;
  /** The day's code. */
  readonly day: string;
  readonly protocol: {
    readonly protocol: string;
    readonly version: number;
    readonly content: ProtocolContent;
  };
  readonly plan: DeckPlan;
  readonly board: DeckBoard;
  readonly arrivals: readonly KeptArrival[];
  readonly files: readonly FileView[];
  readonly placed: readonly PlacedFile[];
}

export function deckOf({ plan, board }: DeckState): Deck {
  return { plan, board };
}

/** The state of a day; null where it is not run here. */
export function deckStateOf(session: Session, id: number): DeckState | null {
  const row = session.store.deckDay(id);
  return row === null ? null : stateOf(session, row);
}

/** The state of a day that is meant to be run here. */
export function requireDeck(session: Session, id: number): Outcome<DeckState, LabError> {
  const state = deckStateOf(session, id);
  if (state !== null) return done(state);
  return failed({
    code: 'not_found',
    says: `Day ${id} is not run here: it was opened from a folder, or is not in the lab folder.`,
    todo: 'Go back to the list of days.',
  });
}

const known = new WeakMap<
  Session['store'],
  Map<number, { readonly key: string; readonly state: DeckState }>
>();

function stateOf(session: Session, row: DeckDayRow): DeckState {
  const { store } = session;
  const arrivals = store.arrivals(row.day);
  const key = `${store.lastTurn(row.day)} ${arrivals.at(-1)?.id ?? 0}`;
  const states = known.get(store) ?? new Map<number, { readonly key: string; readonly state: DeckState }>();
  known.set(store, states);
  const last = states.get(row.day);
  if (last?.key === key) return last.state;
  const state = makeState(session, row, arrivals);
  states.set(row.day, { key, state });
  return state;
}

interface Withdrawn {
  /** The last decision that was looked at. */
  upTo: number;
  readonly latest: Map<string, number>;
}

const withdrawals = new WeakMap<Session['store'], Map<number, Withdrawn>>();

/** The latest plan of a day, taken back or not, that says of a swimmer that they withdrew: its decision, by swimmer. */
function withdrawnOn(store: Session['store'], day: number): ReadonlyMap<string, number> {
  const days = withdrawals.get(store) ?? new Map<number, Withdrawn>();
  withdrawals.set(store, days);
  const known = days.get(day) ?? { upTo: 0, latest: new Map<string, number>() };
  days.set(day, known);
  for (const { id, after, shape } of store.decidedSince(day, DECK, 'plan', known.upTo)) {
    if (after !== null) noteWithdrawn(known.latest, readKept(PLAN_SHAPE, after, `decision ${id}`, shape), id);
    known.upTo = id;
  }
  return known.latest;
}

/** Forgets every state that was made: what they were made of is no longer there. */
export function forgetStates({ store }: Session): void {
  known.delete(store);
  withdrawals.delete(store);
}

function makeState({ store }: Session, row: DeckDayRow, arrivals: readonly KeptArrival[]): DeckState {
  const kept = store.protocolVersion(row.protocol, row.version);
  if (kept === null)
    throw new KeptFault(
      `The day ${row.code} was run with version ${row.version} of the protocol ${row.protocol}, which is no longer in the lab folder.`,
      'Everything else works. Open a backup of the lab folder, which may still have it.',
    );
  const content = readProtocol(kept);
  const decided = store.inForce(row.day).get(DECK);
  const setup = readKept(SETUP_SHAPE, row.setup, `day ${row.code}`, row.shape);
  const planned = decided?.get('plan');
  const inForce: DeckPlan = readDecided(PLAN_SHAPE, planned, null) ?? firstPlan(setup);
  const plan = withWithdrawals(inForce, planned?.id ?? 0, withdrawnOn(store, row.day));
  const board: DeckBoard = readDecided(BOARD_SHAPE, decided?.get('board'), null) ?? firstBoard();
  const whole = withAllSensors({ plan, board });
  // What a person wrote when setting a file aside may name a swimmer who withdrew since.
  const names = namesWithdrawn(plan);
  const files = placeFiles(arrivals, board, filesOf(plan, content)).map((file) =>
    names(file.says) ? { ...file, says: `The reason is ${UNNAMED}.` } : file,
  );
  const hashes = new Map(arrivals.map(({ id, sha256 }) => [id, sha256]));
  const placed = files.flatMap(({ id, name, state, place }) => {
    const sha256 = hashes.get(id) ?? null;
    return state === 'placed' && place !== null && sha256 !== null ? [{ name, sha256, place }] : [];
  });
  return {
    id: row.day,
    day: row.code,
    protocol: { protocol: row.protocol, version: row.version, content },
    ...whole,
    arrivals,
    files,
    placed,
  };
}

/** Clocks of cameras run on other zones' time: what was written this long before the day may still be of it. */
const STALE_MS = 12 * 3_600_000;

/** What tells where the day's files belong; the day begins at midnight by this computer's clock. */
export function filesOf(plan: DeckPlan, content: ProtocolContent): FilesOf {
  return {
    names: plan.setup.files.names,
    cameras: content.cameras.map(({ camera }) => camera),
    swimmers: plan.swimmers,
    staleBefore: new Date(Date.parse(`${plan.setup.date}T00:00:00`) - STALE_MS).toISOString(),
  };
}

/** Tells of a file's name whether it is of a swimmer who does not consent: such a file is not taken at all. */
export function withheldNames(session: Session, id: number): (name: string) => boolean {
  const state = deckStateOf(session, id);
  if (state === null) return () => false;
  const about = filesOf(state.plan, state.protocol.content);
  return (name) => nameWithheld(name, state.board, about);
}

/** SHA-256 of each file of the day, by the path it has in the day folder. */
export function pathsOf({ placed }: DeckState): ReadonlyMap<string, string> {
  return new Map(placed.map((file) => [pathOfFile(file), file.sha256]));
}
