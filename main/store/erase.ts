/**
 * Erasing from the lab folder. Rows are blanked where they stand, so that numbers and the order of what was decided stay;
 * what they were sealed with is sealed again, the chain is linked anew and keeps a tombstone with every link as it was.
 * Then the files go, the database is written anew without free pages, and its log is emptied: `secure_delete` overwrites
 * what goes, VACUUM leaves nothing between, and a checkpoint that truncates takes the log's copies. A list of what is yet
 * to go lies in the database until all of it is gone, so that the next start ends what a crash cut short.
 */
import { existsSync, rmSync } from 'node:fs';
import type { Outcome } from '../../core/base/refusal.ts';
import { brokenActIds, chain, rechain } from './acts.ts';
import type { ReadableDb, WritableDb } from './database.ts';
import { isNamed } from './days.ts';
import { attempt, StoreFailure, type StoreError } from './errors.ts';
import { eraseRows, type ErasingRows } from './eraserows.ts';
import { removeAside, removeCopies } from './erasecopies.ts';
import { contentPath, type Layout } from './layout.ts';

export interface Erasing extends ErasingRows {
  readonly who: string;
  /** ISO 8601 instant. */
  readonly at: string;
  /** How many days and trials there were to erase. */
  readonly days: number;
  readonly trials: number;
  /** Contents that are to go, once nothing names them any more. */
  readonly contents: readonly { readonly sha256: string; readonly bytes: number }[];
  /** Codes that stand for the swimmer: files put aside that hold one of them go too, like copies of these contents. */
  readonly codes: readonly string[];
}

/** That something was erased: by whom, when and how much; not of whom. */
export interface Erasure {
  readonly id: number;
  readonly at: string;
  readonly who: string;
  readonly days: number;
  readonly trials: number;
  readonly decisions: number;
  readonly files: number;
  readonly bytes: number;
}

export interface ErasureReading {
  /** Oldest first. */
  readonly erasures: () => readonly Erasure[];
}

export interface ErasureWriting {
  readonly erase: (erasing: Erasing) => Outcome<Erasure, StoreError>;
}

export function erasureReading(db: ReadableDb): ErasureReading {
  return { erasures: () => db.all<Erasure>('SELECT * FROM erasure ORDER BY id') };
}

/** @param forget told once the rows are changed: nothing that was read before holds any more */
export function erasureWriting(db: WritableDb, layout: Layout, forget: () => void): ErasureWriting {
  return {
    erase: (erasing) =>
      attempt(layout.folder, () => {
        removeAside(layout, erasing);
        let erasure: Erasure;
        try {
          erasure = db.transaction(() => unlocked(db, () => eraseAll(db, erasing)));
        } finally {
          forget();
        }
        finishErasing(db, layout);
        return erasure;
      }),
  };
}

interface Trigger {
  readonly name: string;
  readonly sql: string;
}

/** Does work in which tables that are only ever added to may be altered; inside a transaction. */
function unlocked<T>(db: WritableDb, work: () => T): T {
  const triggers = db.all<Trigger>(
    "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY name",
  );
  for (const { name } of triggers) db.run(`DROP TRIGGER ${name}`);
  const value = work();
  for (const { sql } of triggers) db.run(sql);
  return value;
}

const LEFT = 'erasing.left';

function eraseAll(db: WritableDb, erasing: Erasing): Erasure {
  const { who, at, days, trials, contents } = erasing;
  const broken = brokenActIds(db);
  const decisions = eraseRows(db, erasing);
  const going = contents.filter(({ sha256 }) => !isNamed(db, sha256));
  const links = rechain(db, broken);
  const erasure = {
    at,
    who,
    days,
    trials,
    decisions,
    files: going.length,
    bytes: going.reduce((sum, { bytes }) => sum + bytes, 0),
  };
  const id = db.run(
    `INSERT INTO erasure (at, who, days, trials, decisions, files, bytes)
     VALUES (@at, @who, @days, @trials, @decisions, @files, @bytes)`,
    erasure,
  );
  for (const { id: act, link } of links)
    db.run('INSERT INTO tombstone (erasure, act, link) VALUES (?, ?, ?)', id, act, link);
  chain(db, 'erasure', id);
  db.run(
    `INSERT INTO setting (key, text, at, who) VALUES (?, ?, ?, ?)
     ON CONFLICT (key) DO UPDATE SET text = excluded.text`,
    LEFT,
    JSON.stringify(going.map(({ sha256 }) => sha256)),
    at,
    who,
  );
  return { id, ...erasure };
}

/** Takes away what an erasure has left to go; does nothing where there is nothing. */
export function finishErasing(db: WritableDb, layout: Layout): void {
  const kept = db.get<{ text: string }>('SELECT text FROM setting WHERE key = ?', LEFT);
  if (kept === undefined) return;
  for (const sha256 of JSON.parse(kept.text) as readonly string[])
    if (!isNamed(db, sha256)) {
      const path = contentPath(layout.raw, sha256);
      if (existsSync(path)) rmSync(path);
    }
  removeCopies(layout);
  db.run('VACUUM');
  emptyLog(db, layout);
  db.transaction(() => db.run('DELETE FROM setting WHERE key = ?', LEFT));
  emptyLog(db, layout);
}

/** Brings the write-ahead log into the database and cuts it to nothing. */
function emptyLog(db: WritableDb, layout: Layout): void {
  const [done] = db.all<{ busy: number }>('PRAGMA wal_checkpoint(TRUNCATE)');
  if (done?.busy === 0) return;
  throw new StoreFailure({
    code: 'busy',
    says: `The rows are erased; another program holds the lab folder ${layout.folder}, so the file's log still holds them.`,
    todo: 'Close the other program and start this one again: it then clears the log.',
  });
}
