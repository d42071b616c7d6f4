/**
 * The step that chains every act to the one before it, says in which shape each JSON value was written, and seals kept
 * results. Results are dropped: they are computed again when they are next asked for.
 */
import { chainAll } from './acts.ts';
import { appendOnly, INSTANT, SHA256, type Migration } from './steps.ts';

/** Tables whose JSON has a shape that may change with the program; what is there is of the first. */
const SHAPED = [
  'decision',
  'brought_sensor',
  'calibration',
  'calibration_draft',
  'recording',
  'protocol_version',
  'protocol_draft',
  'deck_day',
  'setting',
];

export const ACTS_STEP: Migration = {
  version: 4,
  sql: `
    ${SHAPED.map((table) => `ALTER TABLE ${table} ADD COLUMN shape INTEGER NOT NULL DEFAULT 1 CHECK (shape >= 1);`).join('\n    ')}

    DROP TABLE result_input;
    DROP TABLE result;
    CREATE TABLE result (
      day INTEGER NOT NULL REFERENCES day (id),
      trial TEXT NOT NULL,
      fingerprint TEXT NOT NULL,
      version TEXT NOT NULL,
      json TEXT NOT NULL CHECK (json_valid(json)),
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      seal TEXT NOT NULL,
      PRIMARY KEY (day, trial)
    ) STRICT;
    CREATE TABLE result_input (
      day INTEGER NOT NULL,
      trial TEXT NOT NULL,
      position INTEGER NOT NULL,
      what TEXT NOT NULL,
      file TEXT NOT NULL,
      sha256 TEXT NOT NULL CHECK ${SHA256},
      PRIMARY KEY (day, trial, position),
      FOREIGN KEY (day, trial) REFERENCES result (day, trial) ON DELETE CASCADE
    ) STRICT, WITHOUT ROWID;

    CREATE TABLE act (
      id INTEGER PRIMARY KEY CHECK (id >= 1),
      what TEXT NOT NULL CHECK (what IN ('opening', 'turn', 'sensor', 'calibration', 'protocol', 'deck_day', 'arrival')),
      row TEXT NOT NULL,
      seal TEXT NOT NULL,
      link TEXT NOT NULL
    ) STRICT;
    CREATE UNIQUE INDEX act_row ON act (what, row);
    ${appendOnly('act')}

    CREATE TABLE loss (
      id INTEGER PRIMARY KEY AUTOINCREMENT,
      expected INTEGER NOT NULL,
      found INTEGER NOT NULL,
      who TEXT,
      at TEXT CHECK (at ${INSTANT})
    ) STRICT;
    `,
  fill: chainAll,
};
