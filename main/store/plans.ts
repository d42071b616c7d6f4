/**
 * Plans of comparisons: a log that is only ever added to, of what was stated and of when answers were looked at. So it
 * stays known which questions were asked before looking.
 */
import type { Outcome } from '../../core/base/refusal.ts';
import { chain } from './acts.ts';
import type { ReadableDb, WritableDb } from './database.ts';
import type { ShapeOf } from './decisions.ts';
import { attempt, type StoreError } from './errors.ts';
import { parseJson } from './json.ts';

export interface PlanEntryToKeep {
  /** Name of the plan. */
  readonly plan: string;
  readonly what: 'stated' | 'looked';
  /** Anything JSON can hold. */
  readonly content: unknown;
  /** ISO 8601 instant. */
  readonly at: string;
  readonly who: string;
}

export interface PlanEntry extends PlanEntryToKeep {
  readonly id: number;
  /** The shape in which `content` was written. */
  readonly shape: number;
}

export interface PlanReading {
  /** Everything that was stated and looked at, oldest first. */
  readonly planEntries: () => PlanEntry[];
}

export interface PlanWriting {
  readonly addPlanEntry: (entry: PlanEntryToKeep) => Outcome<null, StoreError>;
}

export function planReading(db: ReadableDb): PlanReading {
  return {
    planEntries: () =>
      db
        .all<PlanEntry & { readonly content: string }>('SELECT * FROM plan_entry ORDER BY id')
        .map((row) => ({ ...row, content: parseJson(row.content) })),
  };
}

export function planWriting(db: WritableDb, folder: string, shapeOf: ShapeOf): PlanWriting {
  return {
    addPlanEntry: ({ content, ...entry }) =>
      attempt(folder, () =>
        db.transaction(() => {
          const id = db.run(
            `INSERT INTO plan_entry (plan, what, content, at, who, shape)
             VALUES (@plan, @what, @content, @at, @who, @shape)`,
            { ...entry, content: JSON.stringify(content), shape: shapeOf('plan') },
          );
          chain(db, 'plan', id);
          return null;
        }),
      ),
  };
}
