/** The chain of acts held against its head: what was cut off the end is noticed, and no act is acknowledged before it. */
import type { Outcome } from '../../core/base/refusal.ts';
import { existsSync, statSync } from 'node:fs';
import { lastAct, wasLink } from './acts.ts';
import type { AroundCommit, ReadableDb, WritableDb } from './database.ts';
import { attempt, StoreFailure, type StoreError } from './errors.ts';
import { readHead, resetHead, writeHead } from './head.ts';
import type { Layout } from './layout.ts';

/** Acts that the head tells of and the database lacks. */
export interface Loss {
  readonly id: number;
  /** Acts by the head, and by the database. */
  readonly expected: number;
  readonly found: number;
  /** Who took note of it and when; null while nobody has. */
  readonly who: string | null;
  readonly at: string | null;
}

/** What the head says that the database does not know; null where they agree, or there is no head. */
export function missedActs(db: ReadableDb, layout: Layout): Pick<Loss, 'expected' | 'found'> | null {
  const head = readHead(layout.head);
  if (head === null) return null;
  const last = lastAct(db);
  const same = db.get<{ link: string }>('SELECT link FROM act WHERE id = ?', head.id)?.link ?? null;
  const agrees = head.id === 0 || (head.id <= last.id && (same === head.link || wasLink(db, head)));
  return agrees ? null : { expected: head.id, found: last.id };
}

/** Notes a loss where there is one, and brings the head to where the database is. */
export function settleHead(db: WritableDb, layout: Layout): void {
  const missed = missedActs(db, layout);
  if (missed !== null) {
    db.transaction(() => {
      const noted = db.get<Loss>('SELECT * FROM loss ORDER BY id DESC LIMIT 1');
      if (noted?.expected === missed.expected && noted.found === missed.found && noted.who === null) return;
      db.run('INSERT INTO loss (expected, found) VALUES (?, ?)', missed.expected, missed.found);
    });
  }
  const last = lastAct(db);
  const head = readHead(layout.head);
  if (missed !== null || head === null) resetHead(layout.head, last);
  else if (head.id < last.id) writeHead(layout.head, last);
}

/** Losses that were noted, oldest first. */
export function losses(db: ReadableDb): Loss[] {
  return db.all<Loss>('SELECT * FROM loss ORDER BY id');
}

export interface LossWriting {
  /** Writes down who took note of a loss; one that somebody took note of keeps the first. */
  readonly noteLoss: (id: number, who: string, at: string) => Outcome<null, StoreError>;
}

export function lossWriting(db: WritableDb, folder: string): LossWriting {
  return {
    noteLoss: (id, who, at) =>
      attempt(folder, () =>
        db.transaction(() => {
          db.run('UPDATE loss SET who = ?, at = ? WHERE id = ? AND who IS NULL', who, at, id);
          return null;
        }),
      ),
  };
}

/**
 * Around each transaction: the lab folder must still be where it was opened, and what was added to the chain is told by
 * the head, on the disk, before the act is acknowledged.
 */
export function guarded(layout: Layout): AroundCommit {
  const { ino } = statSync(layout.database);
  let written = readHead(layout.head)?.id ?? 0;
  return {
    before: () => {
      if (existsSync(layout.database) && existsSync(layout.head) && statSync(layout.database).ino === ino)
        return;
      throw gone(layout);
    },
    after: (db) => {
      const last = lastAct(db);
      if (last.id <= written) return;
      try {
        // Another window may have written a later one by now.
        if ((readHead(layout.head)?.id ?? 0) < last.id) writeHead(layout.head, last);
      } catch (caught) {
        if (!existsSync(layout.head)) throw gone(layout);
        throw caught;
      }
      written = last.id;
    },
  };
}

function gone(layout: Layout): StoreFailure {
  return new StoreFailure({
    code: 'disk_fault',
    says: `The lab folder ${layout.folder} is no longer where it was opened; this step was not recorded.`,
    todo: 'See that its disk is plugged in and that nobody has moved it, then start the program again.',
  });
}
