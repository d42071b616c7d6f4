/**
 * The database as the rest of the store sees it. A readable and a writable database are different types: who is given
 * a ReadableDb has nothing to write with.
 */
import type BetterSqlite from 'better-sqlite3';

type Cell = string | number | null;
/** A value for the next `?`, or values by name for `@name`. */
type Bound = Cell | Readonly<Record<string, Cell>>;

/** Something that is no longer what was recorded. */
export interface Damage {
  /** The day that it costs something; null where it is of the lab. */
  readonly day: number | null;
  /** The sensor whose calibration is lost; null otherwise. */
  readonly sensor: string | null;
  /** True where what is in force on that day cannot be told for sure: nothing is decided there any more. */
  readonly blocks: boolean;
  /** One sentence: what is damaged, and what that costs. */
  readonly says: string;
}

export interface ReadableDb {
  /** All rows of a query; `Row` is what the caller knows its columns to be. */
  readonly all: <Row>(sql: string, ...values: Bound[]) => Row[];
  /** The first row of a query. */
  readonly get: <Row>(sql: string, ...values: Bound[]) => Row | undefined;
  /** Writes a copy of the whole database to a path that does not exist, while it stays in use. */
  readonly copyTo: (path: string) => Promise<void>;
  readonly close: () => void;
  /** What of it is no longer what was recorded, found when it was opened. */
  readonly damage: readonly Damage[];
}

export interface WritableDb extends ReadableDb {
  /** Runs a changing statement; gives the id of the row it inserted. */
  readonly run: (sql: string, ...values: Bound[]) => number;
  /** Does the work in one transaction that holds the write lock from its start: all of it or nothing. */
  readonly transaction: <T>(work: () => T) => T;
}

function statements(connection: BetterSqlite.Database): (sql: string) => BetterSqlite.Statement<Bound[]> {
  const prepared = new Map<string, BetterSqlite.Statement<Bound[]>>();
  return (sql) => {
    const known = prepared.get(sql);
    if (known !== undefined) return known;
    const made = connection.prepare<Bound[]>(sql);
    prepared.set(sql, made);
    return made;
  };
}

/** The reading half of an open connection; `afterClose` is called once it is closed. */
export function readable(
  connection: BetterSqlite.Database,
  damage: readonly Damage[] = [],
  afterClose?: () => void,
): ReadableDb {
  const statement = statements(connection);
  return {
    damage,
    all: <Row>(sql: string, ...values: Bound[]) => statement(sql).all(...values) as Row[],
    get: <Row>(sql: string, ...values: Bound[]) => statement(sql).get(...values) as Row | undefined,
    copyTo: async (path) => {
      await connection.backup(path);
    },
    close: () => {
      connection.close();
      afterClose?.();
    },
  };
}

/** What is done around each transaction: before it begins, and once it is committed. */
export interface AroundCommit {
  readonly before: () => void;
  readonly after: (db: ReadableDb) => void;
}

const NOTHING_AROUND: AroundCommit = { before: () => undefined, after: () => undefined };

/** Both halves of an open connection. */
export function writable(
  connection: BetterSqlite.Database,
  around: AroundCommit = NOTHING_AROUND,
  damage: readonly Damage[] = [],
): WritableDb {
  const statement = statements(connection);
  const reading = readable(connection, damage);
  return {
    ...reading,
    run: (sql, ...values) => Number(statement(sql).run(...values).lastInsertRowid),
    transaction: (work) => {
      around.before();
      const value = connection.transaction(work).immediate();
      around.after(reading);
      return value;
    },
  };
}
