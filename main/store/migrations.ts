/**
 * The schema, as the steps that lead to it. A step that has been released is never edited: a change is a new step.
 * All tables are strict; what a person decided can be added to but not altered or removed, which triggers enforce.
 */
import { ACTS_STEP } from './stepacts.ts';
import { ERASURE_STEP } from './steperasure.ts';
import { PLAN_STEP } from './stepplan.ts';
import { RELEASE_STEP } from './steprelease.ts';
import { appendOnly, INSTANT, SHA256, type Migration } from './steps.ts';

export type { Migration } from './steps.ts';

/** Marks a file as ours (`application_id`): the letters LNBH as a big-endian 32-bit integer. */
export const APPLICATION_ID = 0x4c4e4248;

export const MIGRATIONS: readonly Migration[] = [
  {
    version: 1,
    sql: `
    CREATE TABLE day (
      id INTEGER PRIMARY KEY,
      code TEXT NOT NULL UNIQUE CHECK (code <> '')
    ) STRICT;

    CREATE TABLE day_revision (
      day INTEGER NOT NULL REFERENCES day (id),
      revision INTEGER NOT NULL CHECK (revision >= 1),
      date TEXT,
      venue TEXT,
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL,
      PRIMARY KEY (day, revision)
    ) STRICT, WITHOUT ROWID;
    ${appendOnly('day_revision')}

    CREATE TABLE day_file (
      day INTEGER NOT NULL,
      revision INTEGER NOT NULL,
      path TEXT NOT NULL CHECK (path <> ''),
      sha256 TEXT NOT NULL CHECK ${SHA256},
      bytes INTEGER NOT NULL CHECK (bytes >= 0),
      PRIMARY KEY (day, revision, path),
      FOREIGN KEY (day, revision) REFERENCES day_revision (day, revision)
    ) STRICT, WITHOUT ROWID;
    CREATE INDEX day_file_bytes ON day_file (bytes);
    ${appendOnly('day_file')}

    CREATE TABLE day_opening (
      id INTEGER PRIMARY KEY AUTOINCREMENT,
      day INTEGER NOT NULL,
      revision INTEGER NOT NULL,
      source TEXT NOT NULL,
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL,
      FOREIGN KEY (day, revision) REFERENCES day_revision (day, revision)
    ) STRICT;
    CREATE INDEX day_opening_day ON day_opening (day, id);
    ${appendOnly('day_opening')}

    CREATE TABLE decision (
      id INTEGER PRIMARY KEY AUTOINCREMENT,
      day INTEGER NOT NULL REFERENCES day (id),
      parent INTEGER CHECK (parent < id),
      trial TEXT,
      subject TEXT NOT NULL CHECK (subject <> ''),
      key TEXT NOT NULL,
      before TEXT NOT NULL CHECK (json_valid(before)),
      after TEXT NOT NULL CHECK (json_valid(after)),
      says TEXT NOT NULL,
      seal TEXT NOT NULL,
      UNIQUE (day, id),
      FOREIGN KEY (day, parent) REFERENCES decision (day, id)
    ) STRICT;
    CREATE INDEX decision_parent ON decision (day, parent);
    ${appendOnly('decision')}

    CREATE TABLE decision_turn (
      id INTEGER PRIMARY KEY AUTOINCREMENT,
      day INTEGER NOT NULL,
      decision INTEGER NOT NULL,
      action TEXT NOT NULL CHECK (action IN ('decided', 'undone', 'redone')),
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL,
      seal TEXT NOT NULL,
      FOREIGN KEY (day, decision) REFERENCES decision (day, id)
    ) STRICT;
    CREATE INDEX decision_turn_day ON decision_turn (day, id);
    CREATE INDEX decision_turn_decision ON decision_turn (decision, id);
    ${appendOnly('decision_turn')}

    CREATE TABLE result (
      day INTEGER NOT NULL REFERENCES day (id),
      trial TEXT NOT NULL,
      fingerprint TEXT NOT NULL,
      json TEXT NOT NULL CHECK (json_valid(json)),
      at TEXT NOT NULL CHECK (at ${INSTANT}),
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

    CREATE TABLE setting (
      key TEXT PRIMARY KEY,
      text TEXT NOT NULL,
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL
    ) STRICT, WITHOUT ROWID;
    `,
  },
  {
    version: 2,
    sql: `
    CREATE TABLE decision_2 (
      id INTEGER PRIMARY KEY AUTOINCREMENT,
      day INTEGER REFERENCES day (id),
      parent INTEGER REFERENCES decision (id) CHECK (parent < id),
      trial TEXT CHECK (trial IS NULL OR day IS NOT NULL),
      subject TEXT NOT NULL CHECK (subject <> ''),
      key TEXT NOT NULL,
      before TEXT NOT NULL CHECK (json_valid(before)),
      after TEXT NOT NULL CHECK (json_valid(after)),
      says TEXT NOT NULL,
      seal TEXT NOT NULL,
      UNIQUE (day, id),
      FOREIGN KEY (day, parent) REFERENCES decision (day, id)
    ) STRICT;
    INSERT INTO decision_2 (id, day, parent, trial, subject, key, before, after, says, seal)
      SELECT id, day, parent, trial, subject, key, before, after, says, seal FROM decision ORDER BY id;
    DROP TABLE decision;
    ALTER TABLE decision_2 RENAME TO decision;
    CREATE INDEX decision_parent ON decision (day, parent);
    ${appendOnly('decision')}

    CREATE TABLE decision_turn_2 (
      id INTEGER PRIMARY KEY AUTOINCREMENT,
      day INTEGER,
      decision INTEGER NOT NULL REFERENCES decision (id),
      action TEXT NOT NULL CHECK (action IN ('decided', 'undone', 'redone')),
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL,
      seal TEXT NOT NULL,
      FOREIGN KEY (day, decision) REFERENCES decision (day, id)
    ) STRICT;
    INSERT INTO decision_turn_2 (id, day, decision, action, at, who, seal)
      SELECT id, day, decision, action, at, who, seal FROM decision_turn ORDER BY id;
    DROP TABLE decision_turn;
    ALTER TABLE decision_turn_2 RENAME TO decision_turn;
    CREATE INDEX decision_turn_day ON decision_turn (day, id);
    CREATE INDEX decision_turn_decision ON decision_turn (decision, id);
    ${appendOnly('decision_turn')}

    CREATE TABLE brought_sensor (
      sensor TEXT PRIMARY KEY CHECK (sensor <> ''),
      card TEXT NOT NULL CHECK (json_valid(card)),
      day TEXT NOT NULL,
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL
    ) STRICT, WITHOUT ROWID;
    ${appendOnly('brought_sensor')}

    CREATE TABLE calibration (
      id INTEGER PRIMARY KEY AUTOINCREMENT,
      sensor TEXT NOT NULL CHECK (sensor <> ''),
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL,
      version TEXT NOT NULL,
      day TEXT,
      sha256 TEXT CHECK (sha256 IS NULL OR ${SHA256}),
      content TEXT NOT NULL CHECK (json_valid(content)),
      seal TEXT NOT NULL,
      CHECK ((day IS NULL) = (sha256 IS NULL))
    ) STRICT;
    CREATE INDEX calibration_sensor ON calibration (sensor, day, id);
    ${appendOnly('calibration')}

    CREATE TABLE calibration_draft (
      sensor TEXT PRIMARY KEY CHECK (sensor <> ''),
      draft TEXT NOT NULL CHECK (json_valid(draft)),
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL
    ) STRICT, WITHOUT ROWID;

    CREATE TABLE recording (
      sha256 TEXT PRIMARY KEY CHECK ${SHA256},
      bytes INTEGER NOT NULL CHECK (bytes >= 0),
      file TEXT NOT NULL,
      time TEXT NOT NULL CHECK (json_valid(time)),
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL
    ) STRICT, WITHOUT ROWID;
    `,
  },
  {
    version: 3,
    sql: `
    CREATE TABLE protocol_version (
      protocol TEXT NOT NULL CHECK (protocol <> ''),
      version INTEGER NOT NULL CHECK (version >= 1),
      content TEXT NOT NULL CHECK (json_valid(content)),
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL,
      seal TEXT NOT NULL,
      PRIMARY KEY (protocol, version)
    ) STRICT, WITHOUT ROWID;
    ${appendOnly('protocol_version')}

    CREATE TABLE protocol_draft (
      protocol TEXT PRIMARY KEY CHECK (protocol <> ''),
      draft TEXT NOT NULL CHECK (json_valid(draft)),
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL
    ) STRICT, WITHOUT ROWID;

    CREATE TABLE deck_day (
      day INTEGER PRIMARY KEY REFERENCES day (id),
      protocol TEXT NOT NULL,
      version INTEGER NOT NULL,
      setup TEXT NOT NULL CHECK (json_valid(setup)),
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL,
      FOREIGN KEY (protocol, version) REFERENCES protocol_version (protocol, version)
    ) STRICT;
    ${appendOnly('deck_day')}

    CREATE TABLE arrival (
      id INTEGER PRIMARY KEY AUTOINCREMENT,
      day INTEGER NOT NULL REFERENCES deck_day (day),
      name TEXT NOT NULL CHECK (name <> ''),
      bytes INTEGER NOT NULL CHECK (bytes >= 0),
      modified TEXT NOT NULL CHECK (modified ${INSTANT}),
      sha256 TEXT CHECK (sha256 IS NULL OR ${SHA256}),
      kind TEXT NOT NULL CHECK (kind IN ('trace', 'film', 'other')),
      outcome TEXT NOT NULL CHECK (outcome IN ('taken', 'twice', 'unreadable', 'stopped')),
      reason TEXT NOT NULL,
      continues INTEGER REFERENCES arrival (id),
      at TEXT NOT NULL CHECK (at ${INSTANT}),
      who TEXT NOT NULL,
      CHECK ((outcome = 'stopped') = (sha256 IS NULL)),
      CHECK (continues IS NULL OR outcome <> 'stopped')
    ) STRICT;
    CREATE INDEX arrival_day ON arrival (day, id);
    CREATE INDEX arrival_bytes ON arrival (bytes);
    CREATE INDEX arrival_sha256 ON arrival (sha256);
    ${appendOnly('arrival')}
    `,
  },
  ACTS_STEP,
  RELEASE_STEP,
  PLAN_STEP,
  ERASURE_STEP,
];

/** The version of the newest step; throws where the steps do not strictly increase from 1. */
export function latestVersion(migrations: readonly Migration[]): number {
  let version = 0;
  for (const step of migrations) {
    if (step.version !== version + 1)
      throw new Error(`Migration ${step.version} does not follow ${version}.`);
    version = step.version;
  }
  return version;
}
