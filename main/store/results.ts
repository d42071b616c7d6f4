/** Computed results, kept to save time. Everything here can be dropped and computed again. */
import type { Outcome } from '../../core/base/refusal.ts';
import type { ReadableDb, WritableDb } from './database.ts';
import { attempt, type StoreError } from './errors.ts';

/** One input a result came from. */
interface ResultInput {
  readonly what: string;
  readonly file: string;
  readonly sha256: string;
}

interface StoredResult {
  readonly json: string;
  /** ISO 8601 instant of the computation. */
  readonly at: string;
}

export interface ResultReading {
  /** The trial's result, where it was computed from what `fingerprint` stands for; else null. */
  readonly getResult: (day: number, trial: string, fingerprint: string) => StoredResult | null;
  /** What the trial's stored result came from, in the order given; empty where there is none. */
  readonly resultInputs: (day: number, trial: string) => ResultInput[];
}

export interface ResultWriting {
  /** Keeps a trial's result in place of the one before; a trial has one, so its inputs are never those of another. */
  readonly putResult: (
    day: number,
    trial: string,
    fingerprint: string,
    inputs: readonly ResultInput[],
    json: string,
    at: string,
  ) => Outcome<null, StoreError>;
  readonly dropResults: (day: number) => Outcome<null, StoreError>;
}

export function resultReading(db: ReadableDb): ResultReading {
  return {
    getResult: (day, trial, fingerprint) =>
      db.get<StoredResult>(
        'SELECT json, at FROM result WHERE day = ? AND trial = ? AND fingerprint = ?',
        day,
        trial,
        fingerprint,
      ) ?? null,
    resultInputs: (day, trial) =>
      db.all<ResultInput>(
        'SELECT what, file, sha256 FROM result_input WHERE day = ? AND trial = ? ORDER BY position',
        day,
        trial,
      ),
  };
}

export function resultWriting(db: WritableDb, folder: string): ResultWriting {
  return {
    putResult: (day, trial, fingerprint, inputs, json, at) =>
      attempt(folder, () =>
        db.transaction(() => {
          db.run('DELETE FROM result WHERE day = ? AND trial = ?', day, trial);
          db.run(
            'INSERT INTO result (day, trial, fingerprint, json, at) VALUES (?, ?, ?, ?, ?)',
            day,
            trial,
            fingerprint,
            json,
            at,
          );
          for (const [position, { what, file, sha256 }] of inputs.entries()) {
            db.run(
              'INSERT INTO result_input (day, trial, position, what, file, sha256) VALUES (?, ?, ?, ?, ?, ?)',
              day,
              trial,
              position,
              what,
              file,
              sha256,
            );
          }
          return null;
        }),
      ),
    dropResults: (day) =>
      attempt(folder, () =>
        db.transaction(() => {
          db.run('DELETE FROM result WHERE day = ?', day);
          return null;
        }),
      ),
  };
}
