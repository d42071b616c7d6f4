/**
 * The step that knows of erasures: that one was done, by whom, when and of how much, not of whom; and for every act whose
 * link it changed a tombstone with the link as it was. The chain of acts learns of a further kind of act, for which its
 * table is made anew.
 */
import { appendOnly, INSTANT, type Migration } from './steps.ts';

export const ERASURE_STEP: Migration = {
  version: 7,
  sql: `
    CREATE TABLE erasure (
      id INTEGER PRIMARY KEY AUTOINCREMENT,
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL,
      days INTEGER NOT NULL CHECK (days >= 0),
      trials INTEGER NOT NULL CHECK (trials >= 0),
      decisions INTEGER NOT NULL CHECK (decisions >= 0),
      files INTEGER NOT NULL CHECK (files >= 0),
      bytes INTEGER NOT NULL CHECK (bytes >= 0)
    ) STRICT;
    ${appendOnly('erasure')}

    CREATE TABLE tombstone (
      erasure INTEGER NOT NULL REFERENCES erasure (id),
      act INTEGER NOT NULL CHECK (act >= 1),
      link TEXT NOT NULL,
      PRIMARY KEY (erasure, act)
    ) STRICT, WITHOUT ROWID;
    CREATE INDEX tombstone_act ON tombstone (act);
    ${appendOnly('tombstone')}

    CREATE TABLE act_4 (
      id INTEGER PRIMARY KEY CHECK (id >= 1),
      what TEXT NOT NULL CHECK (what IN ('opening', 'turn', 'sensor', 'calibration', 'protocol', 'deck_day',
        'arrival', 'release', 'plan', 'erasure')),
      row TEXT NOT NULL,
      seal TEXT NOT NULL,
      link TEXT NOT NULL
    ) STRICT;
    INSERT INTO act_4 (id, what, row, seal, link) SELECT id, what, row, seal, link FROM act ORDER BY id;
    DROP TABLE act;
    ALTER TABLE act_4 RENAME TO act;
    CREATE UNIQUE INDEX act_row ON act (what, row);
    ${appendOnly('act')}
    `,
};
