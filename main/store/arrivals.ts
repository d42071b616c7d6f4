/** Files that came into the watched folder of a day that is run here: what was seen, and what came of it. */
import type { Outcome } from '../../core/base/refusal.ts';
import { chain } from './acts.ts';
import type { ReadableDb, WritableDb } from './database.ts';
import { attempt, type StoreError } from './errors.ts';

export interface ArrivalToAdd {
  readonly day: number;
  /** Inside the watched folder, with forward slashes. */
  readonly name: string;
  readonly bytes: number;
  /** When the file was last written, by its own disk; ISO 8601 instant to the millisecond. */
  readonly modified: string;
  /** Of its content; null where its copying was stopped. */
  readonly sha256: string | null;
  readonly kind: 'trace' | 'film' | 'other';
  /** `twice`: its content was taken before; `unreadable`: kept, with the reason; `stopped`: a person said no. */
  readonly outcome: 'taken' | 'twice' | 'unreadable' | 'stopped';
  /** One sentence; empty where it was simply taken. */
  readonly reason: string;
  /** The earlier file of the same name that this one begins with and goes on from; null where there is none. */
  readonly continues: number | null;
  /** ISO 8601 instant. */
  readonly at: string;
  readonly who: string;
}

export interface KeptArrival extends ArrivalToAdd {
  readonly id: number;
}

export interface ArrivalReading {
  /** Everything that came for a day, in the order in which it came. */
  readonly arrivals: (day: number) => KeptArrival[];
  /** The first file of a day that was taken with this content; null where none was. */
  readonly takenArrival: (day: number, sha256: string) => KeptArrival | null;
}

export interface ArrivalWriting {
  /**
   * Records what came of a file; gives its number. What is recorded already, down to the reason, is not recorded
   * again: its first number is given.
   */
  readonly addArrival: (arrival: ArrivalToAdd) => Outcome<number, StoreError>;
}

export function arrivalReading(db: ReadableDb): ArrivalReading {
  return {
    arrivals: (day) => db.all<KeptArrival>('SELECT * FROM arrival WHERE day = ? ORDER BY id', day),
    takenArrival: (day, sha256) =>
      db.get<KeptArrival>(
        `SELECT * FROM arrival WHERE day = ? AND sha256 = ? AND outcome = 'taken' ORDER BY id LIMIT 1`,
        day,
        sha256,
      ) ?? null,
  };
}

export function arrivalWriting(db: WritableDb, folder: string): ArrivalWriting {
  return {
    addArrival: (arrival) => attempt(folder, () => db.transaction(() => add(db, arrival))),
  };
}

function add(db: WritableDb, arrival: ArrivalToAdd): number {
  const row = { ...arrival };
  const known = db.get<{ id: number }>(
    `SELECT id FROM arrival
     WHERE day = @day AND name = @name AND bytes = @bytes AND modified = @modified AND sha256 IS @sha256
       AND outcome = @outcome AND reason = @reason`,
    row,
  );
  if (known !== undefined) return known.id;
  const id = db.run(
    `INSERT INTO arrival (day, name, bytes, modified, sha256, kind, outcome, reason, continues, at, who)
     VALUES (@day, @name, @bytes, @modified, @sha256, @kind, @outcome, @reason, @continues, @at, @who)`,
    row,
  );
  chain(db, 'arrival', id);
  return id;
}
