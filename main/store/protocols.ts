/**
 * Protocols and the days that are run here. A kept version of a protocol is never altered, and a day keeps the one it
 * was begun with; the version being made is kept beside them as it grows.
 */
import type { Outcome } from '../../core/base/refusal.ts';
import { chain } from './acts.ts';
import type { ReadableDb, WritableDb } from './database.ts';
import type { KeptValue } from './bench.ts';
import { recordDay, type DayToRecord } from './days.ts';
import type { ShapeOf } from './decisions.ts';
import { parseJson } from './json.ts';
import { attempt, StoreFailure, type StoreError } from './errors.ts';
import { protocolSeal } from './seals.ts';

/** A protocol version as it is kept. */
export interface ProtocolToKeep {
  readonly protocol: string;
  /** From 1. */
  readonly version: number;
  /** Anything JSON can hold. */
  readonly content: unknown;
  /** ISO 8601 instant at which it was kept. */
  readonly at: string;
  readonly who: string;
}

export interface KeptProtocol extends ProtocolToKeep {
  /** The shape in which `content` was written. */
  readonly shape: number;
}

/** A day that is run here. */
export interface DeckDayRow {
  readonly day: number;
  /** The day's code. */
  readonly code: string;
  readonly protocol: string;
  readonly version: number;
  /** How the day was set up when it was begun. */
  readonly setup: unknown;
  /** The shape in which `setup` was written. */
  readonly shape: number;
  readonly at: string;
  readonly who: string;
}

export interface ProtocolReading {
  /** Every kept version, by protocol, then version. */
  readonly protocolVersions: () => KeptProtocol[];
  readonly protocolVersion: (protocol: string, version: number) => KeptProtocol | null;
  /** The versions being made, by protocol. */
  readonly protocolDrafts: () => ReadonlyMap<string, KeptValue>;
  /** Oldest first. */
  readonly deckDays: () => DeckDayRow[];
  readonly deckDay: (day: number) => DeckDayRow | null;
}

export interface ProtocolWriting {
  /** Keeps the version being made in place of the one before; null ends it. */
  readonly putProtocolDraft: (
    protocol: string,
    draft: unknown,
    who: string,
    at: string,
  ) => Outcome<null, StoreError>;
  /** Keeps a version, the next of its protocol, and ends the draft: both or nothing. */
  readonly addProtocolVersion: (version: ProtocolToKeep) => Outcome<null, StoreError>;
  /** Begins a day here: the day, and what it is run with. Gives the day's id. */
  readonly beginDeckDay: (
    day: DayToRecord,
    deck: Pick<DeckDayRow, 'protocol' | 'version' | 'setup'>,
  ) => Outcome<number, StoreError>;
}

/** What is no longer what was kept does not count. */
const WHOLE = "protocol || ' ' || version NOT IN (SELECT row FROM temp.broken WHERE what = 'protocol')";

const DECK_DAYS = `
  SELECT k.day, d.code, k.protocol, k.version, k.setup, k.shape, k.at, k.who
  FROM deck_day k JOIN day d ON d.id = k.day`;

export function protocolReading(db: ReadableDb): ProtocolReading {
  return {
    protocolVersions: () =>
      db
        .all<ProtocolRow>(`SELECT * FROM protocol_version WHERE ${WHOLE} ORDER BY protocol, version`)
        .map(toProtocol),
    protocolVersion: (protocol, version) => {
      const row = db.get<ProtocolRow>(
        `SELECT * FROM protocol_version WHERE protocol = ? AND version = ? AND ${WHOLE}`,
        protocol,
        version,
      );
      return row === undefined ? null : toProtocol(row);
    },
    protocolDrafts: () =>
      new Map(
        db
          .all<{ protocol: string; draft: string; shape: number }>(
            'SELECT protocol, draft, shape FROM protocol_draft ORDER BY protocol',
          )
          .map(({ protocol, draft, shape }) => [protocol, { value: parseJson(draft), shape }]),
      ),
    deckDays: () => db.all<DeckDayRow & { setup: string }>(`${DECK_DAYS} ORDER BY k.day`).map(toDeckDay),
    deckDay: (day) => {
      const row = db.get<DeckDayRow & { setup: string }>(`${DECK_DAYS} WHERE k.day = ?`, day);
      return row === undefined ? null : toDeckDay(row);
    },
  };
}

export function protocolWriting(db: WritableDb, folder: string, shapeOf: ShapeOf): ProtocolWriting {
  return {
    putProtocolDraft: (protocol, draft, who, at) =>
      attempt(folder, () =>
        db.transaction(() => {
          db.run('DELETE FROM protocol_draft WHERE protocol = ?', protocol);
          if (draft !== null)
            db.run(
              'INSERT INTO protocol_draft (protocol, draft, at, who, shape) VALUES (?, ?, ?, ?, ?)',
              protocol,
              JSON.stringify(draft),
              at,
              who,
              shapeOf('protocol'),
            );
          return null;
        }),
      ),
    addProtocolVersion: (version) =>
      attempt(folder, () => db.transaction(() => addVersion(db, version, shapeOf('protocol')))),
    beginDeckDay: (day, deck) =>
      attempt(folder, () =>
        db.transaction(() => {
          if (db.get('SELECT 1 FROM day WHERE code = ?', day.day) !== undefined)
            throw new StoreFailure({
              code: 'changed_meanwhile',
              says: `There is a day ${day.day} in the lab folder already.`,
              todo: 'Give the new day another code.',
            });
          const { id } = recordDay(db, day);
          db.run(
            'INSERT INTO deck_day (day, protocol, version, setup, at, who) VALUES (?, ?, ?, ?, ?, ?)',
            id,
            deck.protocol,
            deck.version,
            JSON.stringify(deck.setup),
            day.at,
            day.who,
          );
          chain(db, 'deck_day', id);
          return id;
        }),
      ),
  };
}

function addVersion(
  db: WritableDb,
  { protocol, version, content, at, who }: ProtocolToKeep,
  shape: number,
): null {
  const last = db.get<{ last: number | null }>(
    'SELECT max(version) AS last FROM protocol_version WHERE protocol = ?',
    protocol,
  );
  if (version !== (last?.last ?? 0) + 1)
    throw new StoreFailure({
      code: 'changed_meanwhile',
      says: `Another window has kept a version of ${protocol} in the meantime.`,
      todo: 'Look at what it changed, then keep yours again.',
    });
  const row = { protocol, version, content: JSON.stringify(content), at, who };
  db.run(
    `INSERT INTO protocol_version (protocol, version, content, at, who, seal, shape)
     VALUES (@protocol, @version, @content, @at, @who, @seal, @shape)`,
    { ...row, seal: protocolSeal(row), shape },
  );
  chain(db, 'protocol', `${protocol} ${version}`);
  db.run('DELETE FROM protocol_draft WHERE protocol = ?', protocol);
  return null;
}

type ProtocolRow = KeptProtocol & { readonly content: string };

function toProtocol({ protocol, version, content, at, who, shape }: ProtocolRow): KeptProtocol {
  return { protocol, version, content: parseJson(content), at, who, shape };
}

function toDeckDay(row: DeckDayRow & { readonly setup: string }): DeckDayRow {
  return { ...row, setup: parseJson(row.setup) };
}
