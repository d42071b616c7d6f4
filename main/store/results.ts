/**
 * Computed results, kept to save time. Everything here can be dropped and computed again; a seal over inputs, program
 * version and content tells what is no longer what was kept.
 */
import { createHash } from 'node:crypto';
import type { Outcome } from '../../core/base/refusal.ts';
import type { ReadableDb, WritableDb } from './database.ts';
import { attempt, type StoreError } from './errors.ts';

/** One input a result came from. */
interface ResultInput {
  readonly what: string;
  readonly file: string;
  readonly sha256: string;
}

interface KeptResultRow {
  /** Stands for everything that the numbers rest on. */
  readonly fingerprint: string;
  /** Of the program that computed it. */
  readonly version: string;
  readonly json: string;
  /** ISO 8601 instant of the computation. */
  readonly at: string;
}

export interface ResultToKeep extends KeptResultRow {
  readonly day: number;
  readonly trial: string;
  readonly inputs: readonly ResultInput[];
}

export interface ResultReading {
  /** The trial's result, where it is what was kept, by its seal; else null, and it is to be computed. */
  readonly getResult: (day: number, trial: string) => KeptResultRow | null;
  /** The trials of a day that have a kept result, with the version of the program that computed it. */
  readonly resultVersions: (day: number) => { readonly trial: string; readonly version: string }[];
  /** How many kept results there are of each version of the program but this. */
  readonly resultsOfOthers: (version: string) => { readonly version: string; readonly trials: number }[];
  /** What the trial's kept result came from, in the order given; empty where there is none. */
  readonly resultInputs: (day: number, trial: string) => ResultInput[];
}

export interface ResultWriting {
  /** Keeps a trial's result in place of the one before; a trial has one, so its inputs are never those of another. */
  readonly putResult: (result: ResultToKeep) => Outcome<null, StoreError>;
  readonly dropResult: (day: number, trial: string) => Outcome<null, StoreError>;
  readonly dropResults: (day: number) => Outcome<null, StoreError>;
}

export function resultReading(db: ReadableDb): ResultReading {
  return {
    getResult: (day, trial) => {
      const row = db.get<SealedResult>('SELECT * FROM result WHERE day = ? AND trial = ?', day, trial);
      return row !== undefined && sealOf({ ...row, inputs: inputsOf(db, day, trial) }) === row.seal
        ? row
        : null;
    },
    resultVersions: (day) => db.all('SELECT trial, version FROM result WHERE day = ? ORDER BY trial', day),
    resultsOfOthers: (version) =>
      db.all(
        `SELECT version, count(*) AS trials FROM result WHERE version <> ? GROUP BY version ORDER BY version`,
        version,
      ),
    resultInputs: (day, trial) => inputsOf(db, day, trial),
  };
}

export function resultWriting(db: WritableDb, folder: string): ResultWriting {
  return {
    putResult: (result) =>
      attempt(folder, () =>
        db.transaction(() => {
          const { inputs, ...row } = result;
          const { day, trial } = row;
          db.run('DELETE FROM result WHERE day = ? AND trial = ?', day, trial);
          db.run(
            `INSERT INTO result (day, trial, fingerprint, version, json, at, seal)
             VALUES (@day, @trial, @fingerprint, @version, @json, @at, @seal)`,
            { ...row, seal: sealOf(result) },
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
    dropResult: (day, trial) =>
      attempt(folder, () =>
        db.transaction(() => {
          db.run('DELETE FROM result WHERE day = ? AND trial = ?', day, trial);
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

type SealedResult = Omit<ResultToKeep, 'inputs'> & { readonly seal: string };

function inputsOf(db: ReadableDb, day: number, trial: string): ResultInput[] {
  return db.all<ResultInput>(
    'SELECT what, file, sha256 FROM result_input WHERE day = ? AND trial = ? ORDER BY position',
    day,
    trial,
  );
}

/** SHA-256 (FIPS 180-4) of a kept result with all that it came from. */
function sealOf({ day, trial, fingerprint, version, inputs, json, at }: ResultToKeep): string {
  const files = inputs.map(({ what, file, sha256 }) => [what, file, sha256]);
  return createHash('sha256')
    .update(JSON.stringify([day, trial, fingerprint, version, files, json, at]))
    .digest('hex');
}

/** Kept results that are not what was kept, as sentences without a full stop. */
export function brokenResults(db: ReadableDb): string[] {
  return db
    .all<SealedResult>('SELECT * FROM result ORDER BY day, trial')
    .filter((row) => sealOf({ ...row, inputs: inputsOf(db, row.day, row.trial) }) !== row.seal)
    .map(({ trial }) => `the kept result of trial ${trial} is not what was computed; it is computed again`);
}
