/** What the steps of the schema are made of. */
import type { WritableDb } from './database.ts';

export interface Migration {
  /** The `user_version` of the file after this step; strictly increasing from 1. */
  readonly version: number;
  readonly sql: string;
  /** What SQL alone cannot do, after it and in the same transaction. */
  readonly fill?: (db: WritableDb) => void;
}

export const INSTANT = `GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]*'`;
export const SHA256 = `(length(sha256) = 64 AND sha256 NOT GLOB '*[^0-9a-f]*')`;

/** Triggers that let a table be added to and nothing else. */
export function appendOnly(table: string): string {
  return `
    CREATE TRIGGER ${table}_not_altered BEFORE UPDATE ON ${table}
      BEGIN SELECT RAISE(ABORT, '${table} is only ever added to'); END;
    CREATE TRIGGER ${table}_not_removed BEFORE DELETE ON ${table}
      BEGIN SELECT RAISE(ABORT, '${table} is only ever added to'); END;`;
}
