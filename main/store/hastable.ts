import type { ReadableDb } from './database.ts';

/** A file of an older version lacks tables that came later. */
export function hasTable(db: ReadableDb, name: string): boolean {
  return db.get("SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = ?", name) !== undefined;
}
