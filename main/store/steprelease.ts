/**
 * The step that keeps releases: a name for chosen days as they stood, and the contents that it is made of, by their
 * hash. The chain of acts learns of a further kind of act, for which its table is made anew.
 */
import { appendOnly, INSTANT, SHA256, type Migration } from './steps.ts';

export const RELEASE_STEP: Migration = {
  version: 5,
  sql: `
    CREATE TABLE release (
      name TEXT PRIMARY KEY CHECK (name <> ''),
      sha256 TEXT NOT NULL CHECK ${SHA256},
      version TEXT NOT NULL,
      about TEXT NOT NULL CHECK (json_valid(about)),
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL,
      shape INTEGER NOT NULL DEFAULT 1 CHECK (shape >= 1)
    ) STRICT, WITHOUT ROWID;
    ${appendOnly('release')}

    CREATE TABLE release_file (
      release TEXT NOT NULL REFERENCES release (name),
      path TEXT NOT NULL CHECK (path <> ''),
      sha256 TEXT NOT NULL CHECK ${SHA256},
      bytes INTEGER NOT NULL CHECK (bytes >= 0),
      PRIMARY KEY (release, path)
    ) STRICT, WITHOUT ROWID;
    CREATE INDEX release_file_sha256 ON release_file (sha256);
    CREATE INDEX release_file_bytes ON release_file (bytes);
    ${appendOnly('release_file')}

    CREATE TABLE act_2 (
      id INTEGER PRIMARY KEY CHECK (id >= 1),
      what TEXT NOT NULL CHECK (what IN
        ('opening', 'turn', 'sensor', 'calibration', 'protocol', 'deck_day', 'arrival', 'release')),
      row TEXT NOT NULL,
      seal TEXT NOT NULL,
      link TEXT NOT NULL
    ) STRICT;
    INSERT INTO act_2 (id, what, row, seal, link) SELECT id, what, row, seal, link FROM act ORDER BY id;
    DROP TABLE act;
    ALTER TABLE act_2 RENAME TO act;
    CREATE UNIQUE INDEX act_row ON act (what, row);
    ${appendOnly('act')}
    `,
};
