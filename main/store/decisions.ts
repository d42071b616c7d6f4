/**
 * What people decided, on one day or lab-wide (the day is null then): a log that is only ever added to. Each decision stands on the one that was in force before it
 * (its parent); undoing and redoing are turns in the log that move along these steps. In force is the latest one not
 * undone and all it stands on. A decision made after an undo stands beside the undone ones: they stay in the history,
 * and redo, which follows the newest step, no longer reaches them.
 */
import { isDeepStrictEqual } from 'node:util';
import type { Outcome } from '../../core/base/refusal.ts';
import { chain } from './acts.ts';
import type { ReadableDb, WritableDb } from './database.ts';
import { attempt, StoreFailure, type StoreError } from './errors.ts';
import { parseJson } from './json.ts';
import { decisionSeal, turnSeal, type DecisionText } from './seals.ts';

export interface DecisionToMake {
  /** The day it concerns; null where it concerns the lab. */
  readonly day: number | null;
  /** The trial it concerns; null where it concerns no single trial. */
  readonly trial: string | null;
  /** What is decided, such as `trial.status`; with `key` it names one value of the day or lab. */
  readonly subject: string;
  /** Which one of that subject, such as the trial's code. */
  readonly key: string;
  /** The `after` that the person saw in force; null where nothing was. */
  readonly before: unknown;
  /** The value decided; like `before`, anything JSON can hold. */
  readonly after: unknown;
  /** The decision as a sentence. */
  readonly says: string;
  readonly who: string;
  /** ISO 8601 instant. */
  readonly at: string;
}

export interface Decision extends DecisionToMake {
  readonly id: number;
  /** The shape in which `after` was written. */
  readonly shape: number;
  /** Who took it back and when; null while it is in force. */
  readonly undone: { readonly who: string; readonly at: string } | null;
}

export interface DecisionReading {
  /** The decisions in force: by subject, then key, the latest. */
  readonly inForce: (day: number | null) => ReadonlyMap<string, ReadonlyMap<string, Decision>>;
  /** Number of the latest turn of the log: it rises with every decision, undo and redo; 0 before any. */
  readonly lastTurn: (day: number | null) => number;
  /** The days whose log ever held a decision on that subject, by its key. */
  readonly daysByKey: (subject: string) => ReadonlyMap<string, number>;
  /** The days whose log ever held a decision on that subject. */
  readonly daysWith: (subject: string) => readonly number[];
  /** All decisions of a day, or of the lab, undone ones too, oldest first. */
  readonly history: (day: number | null) => Decision[];
  /** Decisions of a day on one value, undone ones too, whose id is above `after`; oldest first. */
  readonly decidedSince: (
    day: number,
    subject: string,
    key: string,
    after: number,
  ) => readonly Pick<Decision, 'id' | 'after' | 'shape'>[];
  readonly canUndo: (day: number | null) => boolean;
  readonly canRedo: (day: number | null) => boolean;
  /** The decision that undo would take back, or redo bring back; null where there is none. */
  readonly nextTurn: (day: number | null, way: 'undo' | 'redo') => number | null;
}

/** One decision of a day that is taken back or brought back. */
export interface DayTurn {
  readonly day: number;
  readonly decision: number;
}

export interface DecisionWriting {
  /** Fails with `changed_meanwhile` where `before` is not what is in force by now. */
  readonly decide: (decision: DecisionToMake) => Outcome<Decision, StoreError>;
  /** Records decisions of several days as one act: all or none. */
  readonly decideAll: (decisions: readonly DecisionToMake[]) => Outcome<readonly Decision[], StoreError>;
  /** Takes back, or brings back, decisions of several days as one act; each must be the next one there. */
  readonly turnAll: (
    turns: readonly DayTurn[],
    way: 'undo' | 'redo',
    who: string,
    at: string,
  ) => Outcome<readonly Decision[], StoreError>;
  /** Takes back the latest decision in force; null where there is none. */
  readonly undo: (day: number | null, who: string, at: string) => Outcome<Decision | null, StoreError>;
  /** Brings back the decision last undone; null where there is none. */
  readonly redo: (day: number | null, who: string, at: string) => Outcome<Decision | null, StoreError>;
}

interface InForce {
  /** The latest turn of the log that it is the outcome of. */
  readonly turn: number;
  readonly subjects: ReturnType<DecisionReading['inForce']>;
}

const IN_FORCE = `
  WITH RECURSIVE
    head (id) AS (
      SELECT iif(t.action = 'undone', d.parent, d.id)
      FROM decision_turn t JOIN decision d ON d.id = t.decision
      WHERE t.day IS @day ORDER BY t.id DESC LIMIT 1
    ),
    standing (id) AS (
      SELECT id FROM head WHERE id IS NOT NULL
      UNION ALL
      SELECT d.parent FROM standing s JOIN decision d ON d.id = s.id WHERE d.parent IS NOT NULL
    )`;

/** What is no longer what was recorded does not count. */
const WHOLE = "CAST(d.id AS TEXT) NOT IN (SELECT row FROM temp.broken WHERE what = 'decision')";

const HEAD = `${IN_FORCE} SELECT id FROM head WHERE id IS NOT NULL`;

const VALUE = `${IN_FORCE}
  SELECT d.after FROM standing s JOIN decision d ON d.id = s.id
  WHERE d.subject = @subject AND d.key = @key AND ${WHOLE} ORDER BY d.id DESC LIMIT 1`;

const COLUMNS =
  'd.id, d.day, d.trial, d.subject, d.key, d.before, d.after, d.says, d.shape, made.who, made.at';

/** A parent is older than what stands on it, so the latest decision on a value has the largest id. */
const LATEST = `${IN_FORCE}
  SELECT ${COLUMNS}, NULL AS undoneBy, NULL AS undoneAt
  FROM decision d
  JOIN decision_turn made ON made.decision = d.id AND made.action = 'decided'
  WHERE d.id IN (
    SELECT max(d.id) FROM standing s JOIN decision d ON d.id = s.id WHERE ${WHOLE} GROUP BY d.subject, d.key
  ) ORDER BY d.id`;

const HISTORY = `${IN_FORCE}
  SELECT ${COLUMNS}, taken.who AS undoneBy, taken.at AS undoneAt, ${WHOLE} AS whole,
    NOT EXISTS (SELECT * FROM temp.broken WHERE what = 'turn' AND row IN (made.id, taken.id)) AS wholeTurns
  FROM decision d
  JOIN decision_turn made ON made.decision = d.id AND made.action = 'decided'
  LEFT JOIN decision_turn taken ON d.id NOT IN (SELECT id FROM standing) AND taken.id =
    (SELECT max(id) FROM decision_turn WHERE decision = d.id AND action = 'undone')
  WHERE d.day IS @day AND (@id IS NULL OR d.id = @id) ORDER BY d.id`;

const LAST_TURN = 'SELECT max(id) AS id FROM decision_turn WHERE day IS @day';

const NEXT = 'SELECT max(id) AS id FROM decision WHERE day IS ? AND parent IS ?';

/**
 * What was last found in force, by day: it changes with a turn only, and is asked for many times between two. An erasure
 * clears it.
 */
export type Standing = Map<number | null, InForce>;

export function decisionReading(db: ReadableDb, standing: Standing): DecisionReading {
  return {
    inForce: (day) => {
      const turn = lastTurn(db, day);
      const known = standing.get(day);
      if (known?.turn === turn) return known.subjects;
      const subjects = new Map<string, Map<string, Decision>>();
      for (const decision of db.all<HistoryRow>(LATEST, { day }).map(toDecision)) {
        const keys = subjects.get(decision.subject) ?? new Map<string, Decision>();
        subjects.set(decision.subject, keys.set(decision.key, decision));
      }
      standing.set(day, { turn, subjects });
      return subjects;
    },
    lastTurn: (day) => lastTurn(db, day),
    daysByKey: (subject) =>
      new Map(
        db
          .all<{ key: string; day: number }>(
            'SELECT key, day FROM decision WHERE subject = ? AND day IS NOT NULL ORDER BY id',
            subject,
          )
          .map(({ key, day }) => [key, day] as const),
      ),
    daysWith: (subject) =>
      db
        .all<{ day: number }>(
          'SELECT DISTINCT day FROM decision WHERE subject = ? AND day IS NOT NULL ORDER BY day',
          subject,
        )
        .map(({ day }) => day),
    history: (day) => history(db, day),
    decidedSince: (day, subject, key, after) =>
      db
        .all<Pick<HistoryRow, 'id' | 'after' | 'shape'>>(
          `SELECT d.id, d.after, d.shape FROM decision d
           WHERE d.day = ? AND d.subject = ? AND d.key = ? AND d.id > ? AND ${WHOLE} ORDER BY d.id`,
          day,
          subject,
          key,
          after,
        )
        .map((row) => ({ ...row, after: parseJson(row.after) })),
    canUndo: (day) => head(db, day) !== null,
    canRedo: (day) => next(db, day) !== null,
    nextTurn: (day, way) => (way === 'undo' ? head : next)(db, day),
  };
}

function lastTurn(db: ReadableDb, day: number | null): number {
  return db.get<{ id: number | null }>(LAST_TURN, { day })?.id ?? 0;
}

/** In which shape the values of a subject are written now. */
export type ShapeOf = (subject: string) => number;

export function decisionWriting(db: WritableDb, folder: string, shapeOf: ShapeOf): DecisionWriting {
  const move = (find: typeof head, action: string) => (day: number | null, who: string, at: string) =>
    attempt(folder, () =>
      db.transaction(() => {
        requireCertain(db, day);
        const id = find(db, day);
        return id === null ? null : turn(db, day, id, action, who, at);
      }),
    );
  return {
    decide: (decision) =>
      attempt(folder, () => db.transaction(() => decide(db, decision, shapeOf(decision.subject)))),
    decideAll: (decisions) =>
      attempt(folder, () =>
        db.transaction(() => decisions.map((one) => decide(db, one, shapeOf(one.subject)))),
      ),
    turnAll: (turns, way, who, at) =>
      attempt(folder, () =>
        db.transaction(() =>
          turns.map(({ day, decision }) => {
            requireCertain(db, day);
            if ((way === 'undo' ? head : next)(db, day) !== decision) throw new StoreFailure(notNext(way));
            return turn(db, day, decision, way === 'undo' ? 'undone' : 'redone', who, at);
          }),
        ),
      ),
    undo: move(head, 'undone'),
    redo: move(next, 'redone'),
  };
}

/** Records a decision inside a transaction; throws a StoreFailure where something else is in force by now. */
export function decide(db: WritableDb, decision: DecisionToMake, shape: number): Decision {
  const { day, trial, subject, key, says, who, at } = decision;
  const before = toJson(decision.before);
  requireCertain(db, day);
  const found = db.get<{ after: string }>(VALUE, { day, subject, key })?.after ?? 'null';
  if (!isDeepStrictEqual(JSON.parse(found), JSON.parse(before))) throw new StoreFailure(changed(decision));
  const row = {
    day,
    parent: head(db, day),
    trial,
    subject,
    key,
    before,
    after: toJson(decision.after),
    says,
  };
  const id = db.run(
    `INSERT INTO decision (day, parent, trial, subject, key, before, after, says, seal, shape)
     VALUES (@day, @parent, @trial, @subject, @key, @before, @after, @says, @seal, @shape)`,
    { ...row, seal: decisionSeal(row), shape },
  );
  return turn(db, day, id, 'decided', who, at);
}

function turn(
  db: WritableDb,
  day: number | null,
  id: number,
  action: string,
  who: string,
  at: string,
): Decision {
  const row = { day, decision: id, action, at, who };
  const made = db.run(
    `INSERT INTO decision_turn (day, decision, action, at, who, seal)
     VALUES (@day, @decision, @action, @at, @who, @seal)`,
    { ...row, seal: turnSeal(row) },
  );
  chain(db, 'turn', made);
  const [decision] = history(db, day, id);
  if (decision === undefined) throw new Error(`Decision ${id} was recorded but cannot be read.`);
  return decision;
}

/** On a day, or in a lab, of which it cannot be told what is in force, nothing is decided any more. */
function requireCertain(db: ReadableDb, day: number | null): void {
  const damage = db.damage.find((one) => one.blocks && one.day === day);
  if (damage === undefined) return;
  throw new StoreFailure({
    code: 'damaged',
    says: `This was not recorded, for the log of decisions is damaged there. ${damage.says}`,
    todo: 'Look at it as it is. To go on, write what can be read to a new lab folder with "lanebench salvage", or open a backup.',
  });
}

function head(db: ReadableDb, day: number | null): number | null {
  return db.get<{ id: number }>(HEAD, { day })?.id ?? null;
}

/** The newest step from where we stand: the one redo brings back. */
function next(db: ReadableDb, day: number | null): number | null {
  return db.get<{ id: number | null }>(NEXT, day, head(db, day))?.id ?? null;
}

interface HistoryRow extends DecisionText {
  readonly id: number;
  readonly day: number | null;
  readonly shape: number;
  readonly who: string;
  readonly at: string;
  readonly undoneBy: string | null;
  readonly undoneAt: string | null;
}

/** 0 where a row of the decision, or of a step that made it or took it back, is not what was recorded. */
interface Wholeness {
  readonly whole: number;
  readonly wholeTurns: number;
}

/** What is no longer what was recorded is told as such, and nothing else of it. */
function history(db: ReadableDb, day: number | null, id: number | null = null): Decision[] {
  return db.all<HistoryRow & Wholeness>(HISTORY, { day, id }).map(({ whole, wholeTurns, ...row }) => {
    const decision = toDecision(row);
    const { says } = decision;
    const told = wholeTurns === 1 ? says : `${says} (who took this step, or when, is not what was recorded)`;
    if (whole === 1) return { ...decision, says: told };
    const lost = { trial: null, subject: '', key: '', before: null, after: null };
    return { ...decision, ...lost, says: `Decision ${row.id} is not what was recorded: it does not count` };
  });
}

function toDecision({ undoneBy, undoneAt, ...row }: HistoryRow): Decision {
  return {
    ...row,
    before: parseJson(row.before),
    after: parseJson(row.after),
    undone: undoneBy === null || undoneAt === null ? null : { who: undoneBy, at: undoneAt },
  };
}

/** JSON text. What JSON would drop or silently turn into null is a bug of the caller. */
function toJson(value: unknown): string {
  if (value === undefined) throw new TypeError('A decision without a value; null says that there is none.');
  return JSON.stringify(value, (_name, part: unknown) => {
    if (typeof part === 'number' && !Number.isFinite(part)) throw new TypeError(`JSON cannot hold ${part}.`);
    return part;
  });
}

function changed({ says }: DecisionToMake): StoreError {
  return {
    code: 'changed_meanwhile',
    says: `Not recorded: "${says}". Another window has decided this meanwhile.`,
    todo: 'Look at what it says now, then decide again if you still want to.',
  };
}

function notNext(way: 'undo' | 'redo'): StoreError {
  return {
    code: 'changed_meanwhile',
    says: `Nothing was ${way === 'undo' ? 'taken back' : 'done again'}: other decisions were taken on these days since.`,
    todo: 'Take those back first, on the screen of the day.',
  };
}
