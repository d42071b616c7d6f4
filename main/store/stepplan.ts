/**
 * The step that keeps plans of comparisons: what was stated when, and when answers were looked at. The chain of acts
 * learns of a further kind of act, for which its table is made anew.
 */
import { appendOnly, INSTANT, type Migration } from './steps.ts';

export const PLAN_STEP: Migration = {
  version: 6,
  sql: `
    CREATE TABLE plan_entry (
      id INTEGER PRIMARY KEY AUTOINCREMENT,
      plan TEXT NOT NULL CHECK (plan <> ''),
      what TEXT NOT NULL CHECK (what IN ('stated', 'looked')),
      content TEXT NOT NULL CHECK (json_valid(content)),
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL,
      shape INTEGER NOT NULL DEFAULT 1 CHECK (shape >= 1)
    ) STRICT;
    CREATE INDEX plan_entry_plan ON plan_entry (plan, id);
    ${appendOnly('plan_entry')}

    CREATE TABLE act_3 (
      id INTEGER PRIMARY KEY CHECK (id >= 1),
      what TEXT NOT NULL CHECK (what IN
        ('opening', 'turn', 'sensor', 'calibration', 'protocol', 'deck_day', 'arrival', 'release', 'plan')),
      row TEXT NOT NULL,
      seal TEXT NOT NULL,
      link TEXT NOT NULL
    ) STRICT;
    INSERT INTO act_3 (id, what, row, seal, link) SELECT id, what, row, seal, link FROM act ORDER BY id;
    DROP TABLE act;
    ALTER TABLE act_3 RENAME TO act;
    CREATE UNIQUE INDEX act_row ON act (what, row);
    ${appendOnly('act')}
    `,
};
