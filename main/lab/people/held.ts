/** Everything that the lab folder holds on one swimmer, day by day, consent or not. Nothing here is shown as it is. */
import type { DeckBoard, DeckPlan } from '../../../core/deck/deck.ts';
import type { Person } from '../../../core/people/person.ts';
import { knowDay } from '../../../core/arrival/facts.ts';
import { maskOf } from '../../../core/people/person.ts';
import type { KeptArrival } from '../../store/arrivals.ts';
import type { DayRow } from '../../store/days.ts';
import type { Decision } from '../../store/decisions.ts';
import { BLIND, BLIND_CLOSED, BLIND_JUDGEMENTS, BLIND_MARKS, itemKey } from '../kept/blindsessions.ts';
import { DECK, deckStateOf, filesOf, type DeckState } from '../kept/deckstate.ts';
import { BLIND_SHAPE } from '../shapes/blind.ts';
import { BOARD_SHAPE, PLAN_SHAPE } from '../shapes/deck.ts';
import { readKept } from '../shapes/shape.ts';
import type { Session } from '../kept/session.ts';
import { revisionsOf, toldOf, type HeldRevision, type Told } from './heldtables.ts';

export interface HeldDay {
  readonly row: DayRow;
  readonly person: Person;
  /** True where the tables, the plan or the board know the swimmer. */
  readonly isThere: boolean;
  readonly revisions: readonly (HeldRevision & { readonly told: Told })[];
  /** The state of a day that is run here; null for others. */
  readonly deck: DeckState | null;
  /** What came in for the swimmer, in the order in which it came. */
  readonly arrivals: readonly KeptArrival[];
  /** Every decision of the day, undone ones too. */
  readonly history: readonly Decision[];
  /** Ids of decisions that are about the swimmer as a whole. */
  readonly own: ReadonlySet<number>;
}

/** What every day of the lab folder holds on a swimmer; days that do not know them too. */
export async function heldOn(session: Session, participant: string): Promise<readonly HeldDay[]> {
  const days: HeldDay[] = [];
  for (const row of session.store.listDays()) days.push(await heldDay(session, row, participant));
  return days;
}

async function heldDay(session: Session, row: DayRow, participant: string): Promise<HeldDay> {
  const history = session.store.history(row.id);
  const revisions = (await revisionsOf(session, row.id)).map((revision) => ({
    ...revision,
    told: toldOf(revision, participant),
  }));
  const deck = deckStateOf(session, row.id);
  const boards = deck === null ? [] : boardsOf(history, deck);
  const trials = new Set<string>();
  const others = new Set<string>();
  let isThere = false;
  for (const { told } of revisions) {
    isThere ||= told.isThere;
    for (const code of told.trials) trials.add(code);
    for (const code of told.others) others.add(code);
  }
  for (const { plan, board } of boards) {
    for (const swimmer of plan?.swimmers ?? [])
      if (swimmer.participant === participant) isThere = true;
      else others.add(swimmer.participant);
    for (const swim of board?.trials ?? [])
      if (swim.participant === participant) trials.add(swim.trial);
      else for (const code of [swim.participant, swim.trial]) others.add(code);
  }
  // A code that was the swimmer's once, and is another's now, is the other's.
  const now = revisions.at(-1)?.told.others ?? new Set<string>();
  for (const code of trials) if (now.has(code)) trials.delete(code);
  for (const code of [participant, ...trials]) others.delete(code);
  const person: Person = { participant, trials, files: new Set(), others };
  const arrivals = deck === null ? [] : arrivalsOf(deck, person);
  const files = new Set(arrivals.map(({ id }) => id));
  return {
    row,
    person: { ...person, files },
    isThere: isThere || trials.size > 0 || arrivals.length > 0,
    revisions,
    deck,
    arrivals,
    history,
    own: ownDecisions(history, person),
  };
}

/** Every plan and board that the log of a day tells of. */
function boardsOf(
  history: readonly Decision[],
  deck: DeckState,
): readonly { readonly plan?: DeckPlan; readonly board?: DeckBoard }[] {
  const kept = history.flatMap(({ id, subject, key, after, shape }) => {
    if (subject !== DECK || after === null) return [];
    const where = `decision ${id}`;
    return [
      key === 'plan'
        ? { plan: readKept(PLAN_SHAPE, after, where, shape) }
        : { board: readKept(BOARD_SHAPE, after, where, shape) },
    ];
  });
  return [{ plan: deck.plan, board: deck.board }, ...kept];
}

/** Files that came in for the swimmer: by their place, a person's word, their name, or the same content. */
function arrivalsOf(deck: DeckState, person: Person): readonly KeptArrival[] {
  const day = knowDay(deck.board, filesOf(deck.plan, deck.protocol.content));
  const mask = maskOf(person);
  const placed = new Map(deck.files.map(({ id, place }) => [id, place]));
  const given = new Map(deck.board.given.map(({ file, to }) => [file, to]));
  const own = deck.arrivals.filter(({ id, name }) => {
    const place = placed.get(id) ?? given.get(id) ?? null;
    if (place !== null) return person.trials.has(place.trial);
    return (
      mask(name) !== name || day.read(name).some(({ participant }) => participant === person.participant)
    );
  });
  const contents = new Set(own.flatMap(({ sha256 }) => sha256 ?? []));
  const taken = new Set(own.map(({ id }) => id));
  const others = new Set(
    deck.arrivals.flatMap(({ id, sha256 }) => {
      const place = placed.get(id) ?? null;
      return place !== null && !taken.has(id) && sha256 !== null ? [sha256] : [];
    }),
  );
  return deck.arrivals.filter(
    ({ id, sha256 }) => taken.has(id) || (sha256 !== null && contents.has(sha256) && !others.has(sha256)),
  );
}

/** Decisions on the swimmer or one of their trials, and a rater's second look at one of them. */
function ownDecisions(history: readonly Decision[], { participant, trials }: Person): ReadonlySet<number> {
  const items = new Set<string>();
  for (const { id, subject, key, after, shape } of history)
    if (subject === BLIND && after !== null)
      for (const [index, trial] of readKept(BLIND_SHAPE, after, `decision ${id}`, shape).trials.entries())
        if (trials.has(trial)) items.add(itemKey(Number(key), index + 1));
  const own = history.filter(({ trial, subject, key }) => {
    if (subject === BLIND_MARKS || subject === BLIND_JUDGEMENTS) return items.has(key);
    if (subject === BLIND || subject === BLIND_CLOSED || subject === DECK) return false;
    if (trial !== null && trials.has(trial)) return true;
    const [first = ''] = key.split(' ');
    return first === participant || trials.has(first);
  });
  return new Set(own.map(({ id }) => id));
}
