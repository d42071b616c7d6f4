import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import BetterSqlite from 'better-sqlite3';
import { describe, expect, onTestFinished, test } from 'vitest';
import { lastAct } from '../../../main/store/acts.ts';
import { writable } from '../../../main/store/database.ts';
import { layoutOf } from '../../../main/store/layout.ts';
import { APPLICATION_ID, latestVersion, MIGRATIONS, type Migration } from '../../../main/store/migrations.ts';
import { openReadable, openWritable } from '../../../main/store/open.ts';
import { openStore, openStoreReadOnly } from '../../../main/store/store.ts';
import { AT, errorOf, scratch, valueOf, ZEROS } from './support.ts';

/** The seal of a row as version 1 made it. */
function sealOf(row: readonly (string | number | null)[]): string {
  return createHash('sha256').update(JSON.stringify(row)).digest('hex');
}

const FIRST = `
  INSERT INTO day (id, code) VALUES (1, 'D1');
  INSERT INTO day_revision VALUES (1, 1, '2026-03-02', NULL, '${AT}', 'AB');
  INSERT INTO day_file VALUES (1, 1, 'day.json', '${ZEROS}', 2);
  INSERT INTO day_opening (day, revision, source, at, who) VALUES (1, 1, '/day', '${AT}', 'AB');
  INSERT INTO decision (id, day, parent, trial, subject, key, before, after, says, seal)
    VALUES (1, 1, NULL, 'T1', 'trial.status', 'T1', 'null', '"accepted"', 'T1 accepted',
              '${sealOf([1, null, 'T1', 'trial.status', 'T1', 'null', '"accepted"', 'T1 accepted'])}'),
           (2, 1, 1, 'T1', 'trial.status', 'T1', '"accepted"', '"excluded"', 'T1 excluded',
              '${sealOf([1, 1, 'T1', 'trial.status', 'T1', '"accepted"', '"excluded"', 'T1 excluded'])}');
  INSERT INTO decision_turn (day, decision, action, at, who, seal)
    VALUES (1, 1, 'decided', '${AT}', 'AB', '${sealOf([1, 1, 'decided', AT, 'AB'])}'),
           (1, 2, 'decided', '${AT}', 'AB', '${sealOf([1, 2, 'decided', AT, 'AB'])}'),
           (1, 2, 'undone', '${AT}', 'CD', '${sealOf([1, 2, 'undone', AT, 'CD'])}');
  INSERT INTO result VALUES (1, 'T1', 'f', '{}', '${AT}');
  INSERT INTO result_input VALUES (1, 'T1', 0, 'trace', 't.csv', '${ZEROS}');
  INSERT INTO setting VALUES ('operator', 'AB', '${AT}', 'AB');`;

/** Version 2 adds decisions on the lab, sensors, calibrations, drafts and recordings. */
const SECOND = `${FIRST}
  INSERT INTO decision (id, day, parent, trial, subject, key, before, after, says, seal)
    VALUES (3, NULL, NULL, NULL, 'sensor', 'S-01', 'null', '{"sensor":"S-01"}', 'Sensor S-01 registered',
              '${sealOf([null, null, null, 'sensor', 'S-01', 'null', '{"sensor":"S-01"}', 'Sensor S-01 registered'])}');
  INSERT INTO decision_turn (day, decision, action, at, who, seal)
    VALUES (NULL, 3, 'decided', '${AT}', 'AB', '${sealOf([null, 3, 'decided', AT, 'AB'])}');
  INSERT INTO brought_sensor VALUES ('S-02', '{"sensor":"S-02"}', 'D1', '${AT}', 'AB');
  INSERT INTO calibration (sensor, at, who, version, day, sha256, content, seal)
    VALUES ('S-02', '${AT}', 'AB', '1.0.0', 'D1', '${ZEROS}', '{"draft":1}',
              '${sealOf(['S-02', AT, 'AB', '1.0.0', 'D1', ZEROS, '{"draft":1}'])}');
  INSERT INTO calibration_draft VALUES ('S-01', '{"points":[]}', '${AT}', 'AB');
  INSERT INTO recording VALUES ('${ZEROS}', 2, 'bench.csv', '{"rateHz":100}', '${AT}', 'AB');`;

/** Version 3 adds protocols, the days that are run here, and the files that came in for them. */
const THIRD = `${SECOND}
  INSERT INTO protocol_version (protocol, version, content, at, who, seal)
    VALUES ('sprint', 1, '{"name":"Sprint"}', '${AT}', 'AB',
              '${sealOf(['sprint', 1, '{"name":"Sprint"}', AT, 'AB'])}');
  INSERT INTO protocol_draft VALUES ('sprint', '{"name":"Sprints"}', '${AT}', 'AB');
  INSERT INTO deck_day VALUES (1, 'sprint', 1, '{"venue":"pool"}', '${AT}', 'AB');
  INSERT INTO arrival (day, name, bytes, modified, sha256, kind, outcome, reason, at, who)
    VALUES (1, 'T1.csv', 2, '${AT}', '${ZEROS}', 'trace', 'taken', '', '${AT}', 'AB'),
           (1, 'T1.mp4', 9, '${AT}', NULL, 'film', 'stopped', 'A person stopped its copying.', '${AT}', 'AB');
  INSERT INTO arrival (day, name, bytes, modified, sha256, kind, outcome, reason, continues, at, who)
    VALUES (1, 'T1.csv', 3, '${AT}', '${ZEROS}', 'trace', 'taken', '', 1, '${AT}', 'AB');`;

/** Rows as version N held them, and what must be found after the upgrade. A new migration adds the entry of its version. */
const SEEDS: Readonly<Record<number, string>> = {
  1: FIRST,
  2: SECOND,
  3: THIRD,
  4: THIRD,
  5: THIRD,
  6: THIRD,
  7: THIRD,
};

/** Version 4 chains every act, notes the shape of each JSON value, and seals kept results. */
const KEPT = [1, 'T1', 'f', '1.0.0', [['trace', 't.csv', ZEROS]], '{}', AT] as const;
const FOURTH = `
  INSERT INTO result (day, trial, fingerprint, version, json, at, seal)
    VALUES (1, 'T1', 'f', '1.0.0', '{}', '${AT}', '${createHash('sha256').update(JSON.stringify(KEPT)).digest('hex')}');
  INSERT INTO result_input VALUES (1, 'T1', 0, 'trace', 't.csv', '${ZEROS}');`;

/** A lab folder as version N left it. */
function seeded(version: number): string {
  const folder = scratch();
  const db = new BetterSqlite(join(folder, 'lab.sqlite'));
  db.pragma('journal_mode = WAL');
  for (const step of MIGRATIONS) if (step.version <= Math.min(version, 3)) db.exec(step.sql);
  db.exec(SEEDS[version] ?? '');
  for (const step of MIGRATIONS)
    if (step.version > 3 && step.version <= version) {
      db.exec(step.sql);
      step.fill?.(writable(db));
    }
  if (version >= 4) db.exec(FOURTH);
  db.pragma(`application_id = ${APPLICATION_ID}`);
  db.pragma(`user_version = ${version}`);
  db.close();
  return folder;
}

const NEXT: Migration = {
  version: MIGRATIONS.length + 1,
  sql: "ALTER TABLE setting ADD COLUMN note TEXT NOT NULL DEFAULT 'upgraded'",
};
const FAILING: Migration = {
  version: NEXT.version + 1,
  sql: 'DELETE FROM setting; INSERT INTO nowhere VALUES (1)',
};
const BREAKING: Migration = { version: NEXT.version + 1, sql: 'DELETE FROM result_input; DELETE FROM day' };

describe('every historical schema', () => {
  test('has a seed, and the steps strictly increase', () => {
    expect(Object.keys(SEEDS).map(Number)).toEqual(MIGRATIONS.map(({ version }) => version));
    expect(() => latestVersion([...MIGRATIONS, ...MIGRATIONS])).toThrow('does not follow');
  });

  test.each(MIGRATIONS.map(({ version }) => version))(
    'version %d is upgraded with all it holds',
    (version) => {
      const store = valueOf(openStore(seeded(version)));
      onTestFinished(store.close);
      expect(store.listDays()).toMatchObject([
        { id: 1, day: 'D1', revision: 1, source: '/day', openedBy: 'AB' },
      ]);
      expect(store.dayFiles(1)).toEqual([{ path: 'day.json', sha256: ZEROS, bytes: 2 }]);
      expect(store.inForce(1).get('trial.status')?.get('T1')?.after).toBe('accepted');
      expect(store.history(1).map(({ undone }) => undone?.who ?? null)).toEqual([null, 'CD']);
      expect(store.canRedo(1)).toBe(true);
      // Results of before version 4 carry no seal: they are dropped, and computed again when they are asked for.
      expect(store.getResult(1, 'T1')).toEqual(version < 4 ? null : expect.objectContaining({ json: '{}' }));
      expect(store.resultInputs(1, 'T1')).toHaveLength(version < 4 ? 0 : 1);
      expect(store.getSetting('operator')?.text).toBe('AB');
    },
  );

  test.each(MIGRATIONS.map(({ version }) => version))(
    'version %d keeps its seals, and takes decisions on the lab beside those of a day',
    async (version) => {
      const store = valueOf(openStore(seeded(version)));
      onTestFinished(store.close);
      expect((await store.checkIntegrity()).databaseFaults).toEqual([]);
      const seen = store.inForce(null).get('sensor')?.get('S-01')?.after ?? null;
      expect(seen).toEqual(version >= 2 ? { sensor: 'S-01' } : null);
      const decision = { trial: null, subject: 'sensor', key: 'S-01', says: 'changed', who: 'AB', at: AT };
      valueOf(store.decide({ ...decision, day: null, before: seen, after: 'new' }));
      expect(store.inForce(1).get('sensor')).toBeUndefined();
      expect(valueOf(store.undo(null, 'AB', AT))?.after).toBe('new');
      expect(store.history(1)).toHaveLength(2);
      expect(store.canRedo(null)).toBe(true);
    },
  );

  test.each([
    [1, 4],
    [2, 7],
    [3, 12],
    [4, 12],
  ])('version %d has every act chained: %d of them', (version, acts) => {
    const folder = seeded(version);
    const db = valueOf(openWritable(layoutOf(folder), MIGRATIONS));
    onTestFinished(db.close);
    expect(lastAct(db).id).toBe(acts);
    expect(readFileSync(join(folder, 'lab.head'), 'latin1')).toContain(`${acts} ${lastAct(db).link}`);
    expect(db.all('SELECT * FROM loss')).toEqual([]);
  });

  test.each([2, 3, 4])('the bench of version %d is all there', (version) => {
    const store = valueOf(openStore(seeded(version)));
    onTestFinished(store.close);
    expect(store.broughtSensors()).toEqual(new Map([['S-02', { value: { sensor: 'S-02' }, shape: 1 }]]));
    expect(store.calibrations()).toMatchObject([{ id: 1, sensor: 'S-02', day: 'D1', content: { draft: 1 } }]);
    expect(store.drafts()).toEqual(new Map([['S-01', { value: { points: [] }, shape: 1 }]]));
    expect(store.getRecording(ZEROS)).toMatchObject({ file: 'bench.csv', time: { rateHz: 100 } });
  });

  test.each([1, 2])('version %d can be run on deck once it is upgraded', async (version) => {
    const store = valueOf(openStore(seeded(version)));
    onTestFinished(store.close);
    expect([store.deckDays(), store.protocolVersions(), store.arrivals(1)]).toEqual([[], [], []]);
    const kept = { protocol: 'sprint', version: 1, content: {}, at: AT, who: 'AB' };
    valueOf(store.addProtocolVersion(kept));
    const begun = { day: 'D2', date: null, venue: null, source: '', files: [], at: AT, who: 'AB' };
    const day = valueOf(store.beginDeckDay(begun, { protocol: 'sprint', version: 1, setup: {} }));
    const came = { day, name: 'a.csv', bytes: 2, modified: AT, sha256: ZEROS, kind: 'trace' } as const;
    valueOf(store.addArrival({ ...came, outcome: 'taken', reason: '', continues: null, at: AT, who: 'AB' }));
    expect(store.arrivals(day)).toMatchObject([came]);
    expect((await store.checkIntegrity()).databaseFaults).toEqual([]);
  });

  test.each([1, 2])('version %d is looked at read-only, with nothing that came later', async (version) => {
    const store = valueOf(openStoreReadOnly(seeded(version)));
    onTestFinished(store.close);
    expect(store.listDays()).toHaveLength(1);
    expect([store.deckDays(), store.arrivals(1), store.takenArrival(1, ZEROS)]).toEqual([[], [], null]);
    expect((await store.checkIntegrity()).missingRaw).toEqual([ZEROS]);
  });

  test.each([3, 4])('the running day of version %d is all there, with its seals', async (version) => {
    const store = valueOf(openStore(seeded(version)));
    onTestFinished(store.close);
    expect(store.protocolVersions()).toMatchObject([{ protocol: 'sprint', content: { name: 'Sprint' } }]);
    expect(store.protocolDrafts()).toEqual(new Map([['sprint', { value: { name: 'Sprints' }, shape: 1 }]]));
    expect(store.deckDay(1)).toMatchObject({ code: 'D1', version: 1, setup: { venue: 'pool' } });
    expect(store.arrivals(1)).toMatchObject([
      {
        id: 1,
        name: 'T1.csv',
        bytes: 2,
        sha256: ZEROS,
        kind: 'trace',
        outcome: 'taken',
        reason: '',
        continues: null,
      },
      { id: 2, name: 'T1.mp4', bytes: 9, sha256: null, kind: 'film', outcome: 'stopped' },
      { id: 3, name: 'T1.csv', bytes: 3, sha256: ZEROS, outcome: 'taken', continues: 1 },
    ]);
    expect((await store.checkIntegrity()).databaseFaults).toEqual([]);
  });

  test('what is asked often is found by an index', () => {
    const db = valueOf(openWritable(layoutOf(seeded(MIGRATIONS.length)), MIGRATIONS));
    onTestFinished(db.close);
    const plan = (sql: string) =>
      db
        .all<{ detail: string }>(`EXPLAIN QUERY PLAN ${sql}`)
        .map(({ detail }) => detail)
        .join('\n');
    expect(plan('SELECT 1 FROM day_file WHERE bytes = 1')).toContain('day_file_bytes');
    expect(plan('SELECT * FROM arrival WHERE day = 1 ORDER BY id')).toContain('arrival_day');
    expect(plan('SELECT 1 FROM arrival WHERE bytes = 1')).toContain('arrival_bytes');
    expect(plan('SELECT 1 FROM arrival WHERE sha256 = 1')).toContain('arrival_sha256');
    expect(plan('SELECT max(id) FROM decision WHERE day = 1 AND parent IS 1')).toContain('decision_parent');
    expect(plan('SELECT max(id) FROM decision_turn WHERE decision = 1')).toContain('decision_turn_decision');
  });
});

describe('an upgrade', () => {
  test('keeps the older file first, then upgrades once', () => {
    const layout = layoutOf(seeded(MIGRATIONS.length));
    const newer = [...MIGRATIONS, NEXT];
    const db = valueOf(openWritable(layout, newer));
    expect(db.get('SELECT note FROM setting')).toEqual({ note: 'upgraded' });
    db.close();
    valueOf(openWritable(layout, newer)).close();
    expect(readdirSync(layout.beforeUpgrade)).toEqual(['1']);
    const older = valueOf(openStore(join(layout.beforeUpgrade, '1')));
    onTestFinished(older.close);
    expect(older.getSetting('operator')?.text).toBe('AB');
    expect(errorOf(openStore(layout.folder)).code).toBe('from_future');
  });

  test.each([
    ['fails', FAILING, /no such table/],
    ['would break references', BREAKING, /FOREIGN KEY|break references/],
  ])('that %s leaves the file at its version', (_name, bad, message) => {
    const layout = layoutOf(seeded(MIGRATIONS.length));
    expect(() => openWritable(layout, [...MIGRATIONS, NEXT, bad])).toThrow(message);
    const store = valueOf(openStore(layout.folder));
    onTestFinished(store.close);
    expect(store.getSetting('operator')?.text).toBe('AB');
  });

  test('is made on a copy where an older file is only read', () => {
    const layout = layoutOf(seeded(MIGRATIONS.length));
    const db = valueOf(openReadable(layout, [...MIGRATIONS, NEXT]));
    expect(db.get('SELECT note FROM setting')).toEqual({ note: 'upgraded' });
    db.close();
    const store = valueOf(openStore(layout.folder));
    onTestFinished(store.close);
    expect(readdirSync(layout.folder)).not.toContain('before-upgrade');
  });
});
