import { chmodSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import BetterSqlite from 'better-sqlite3';
import { describe, expect, onTestFinished, test } from 'vitest';
import type { ReadableDb } from '../../../main/store/database.ts';
import { StoreFailure } from '../../../main/store/errors.ts';
import { requireNodeApi, requireSqlite } from '../../../main/store/examine.ts';
import { layoutOf } from '../../../main/store/layout.ts';
import { MIGRATIONS } from '../../../main/store/migrations.ts';
import { openReadable, openWritable } from '../../../main/store/open.ts';
import { openStore, openStoreReadOnly, openWhatCan } from '../../../main/store/store.ts';
import { aDay, decideOn, errorOf, NO_DISK, opened, scratch, tinyDisk, valueOf } from './support.ts';

function pragma(db: ReadableDb, name: string): unknown {
  return Object.values(db.get<Record<string, unknown>>(`PRAGMA ${name}`) ?? {})[0];
}

describe('a lab folder is opened durably', () => {
  test('what keeps commits is set and reads back', () => {
    const db = valueOf(openWritable(layoutOf(join(scratch(), 'new', 'lab')), MIGRATIONS));
    onTestFinished(db.close);
    // Values of sqlite.org/pragma.html: synchronous FULL is 2 (the binding's own default in WAL is NORMAL, 1).
    expect(pragma(db, 'journal_mode')).toBe('wal');
    expect(pragma(db, 'synchronous')).toBe(2);
    expect(pragma(db, 'foreign_keys')).toBe(1);
    expect(pragma(db, 'busy_timeout')).toBe(5000);
    expect(() => requireSqlite(db.get<{ v: string }>('SELECT sqlite_version() AS v')?.v ?? '')).not.toThrow();
    const loose = db.all(
      "SELECT name FROM pragma_table_list WHERE schema = 'main' AND strict = 0 ORDER BY name",
    );
    expect(loose).toEqual([{ name: 'sqlite_schema' }, { name: 'sqlite_sequence' }]);
  });

  test('the header says whose file it is, how new, and that it has a write-ahead log', () => {
    const folder = scratch();
    opened(folder).close();
    // Offsets of sqlite.org/fileformat2.html, section 1.3.
    const header = readFileSync(join(folder, 'lab.sqlite'));
    expect(header.toString('latin1', 68, 72)).toBe('LNBH');
    expect(header.readUInt32BE(60)).toBe(MIGRATIONS.length);
    expect([header[18], header[19]]).toEqual([2, 2]);
  });

  test.each([
    ['3.51.2', false],
    ['3.51.3', true],
    ['3.50.9', false],
    ['3.54.1', true],
    ['4.0.0', true],
    ['2.99.99', false],
  ])('SQLite %s taken: %s', (version, taken) => {
    if (taken) expect(() => requireSqlite(version)).not.toThrow();
    else expect(() => requireSqlite(version)).toThrow(StoreFailure);
  });

  test('a Node that would end the process on opening is refused first', () => {
    expect(() => requireNodeApi('9')).toThrow('Node-API 9');
    expect(() => requireNodeApi(undefined)).toThrow(StoreFailure);
    expect(() => requireNodeApi('10')).not.toThrow();
  });

  test('who opens for reading is given nothing to write with', () => {
    const layout = layoutOf(scratch());
    valueOf(openWritable(layout, MIGRATIONS)).close();
    const db = valueOf(openReadable(layout, MIGRATIONS));
    onTestFinished(db.close);
    // @ts-expect-error A ReadableDb has no run.
    expect(db.run).toBeUndefined();
    expect(() => db.get("INSERT INTO day (code) VALUES ('D1') RETURNING id")).toThrow(/readonly/);
    const store = valueOf(openStoreReadOnly(layout.folder));
    onTestFinished(store.close);
    // @ts-expect-error A ReadableStore has no decide.
    expect(store.decide).toBeUndefined();
  });
});

describe('a lab folder that cannot be opened', () => {
  test('a file from the future is only looked at, and left as it is', () => {
    const folder = scratch();
    const written = opened(folder);
    aDay(written);
    written.close();
    const file = join(folder, 'lab.sqlite');
    const db = new BetterSqlite(file);
    db.pragma(`user_version = ${MIGRATIONS.length + 1}`);
    db.close();
    const before = readFileSync(file);
    expect(errorOf(openStore(folder)).code).toBe('from_future');
    const store = valueOf(openWhatCan(folder, () => 1));
    onTestFinished(store.close);
    expect(store.readOnly?.code).toBe('from_future');
    expect(store.listDays()).toMatchObject([{ day: 'D1' }]);
    expect(errorOf(decideOn(store, 1, 'k', null, 1)).code).toBe('from_future');
    expect(readFileSync(file).equals(before)).toBe(true);
  });

  test('a file from the future that lacks what this program reads is refused and left as it is', () => {
    const folder = scratch();
    opened(folder).close();
    const db = new BetterSqlite(join(folder, 'lab.sqlite'));
    db.exec('DROP TABLE arrival');
    db.pragma(`user_version = ${MIGRATIONS.length + 1}`);
    db.close();
    expect(errorOf(openWhatCan(folder, () => 1)).code).toBe('from_future');
  });

  test.each([0, 252006673])('a database with application_id %d is refused and left as it is', (id) => {
    const folder = scratch();
    const file = join(folder, 'lab.sqlite');
    const db = new BetterSqlite(file);
    db.exec('CREATE TABLE theirs (a)');
    db.pragma(`application_id = ${id}`);
    db.close();
    const before = readFileSync(file);
    expect(errorOf(openStore(folder)).code).toBe('foreign_file');
    expect(errorOf(openStoreReadOnly(folder)).code).toBe('foreign_file');
    expect(readFileSync(file).equals(before)).toBe(true);
  });

  test('what is no database is left as it is, and never taken for an empty list of days', () => {
    const folder = scratch();
    const rubbish = 'this was a database once\n'.repeat(100);
    writeFileSync(join(folder, 'lab.sqlite'), rubbish);
    for (const open of [openStore, openStoreReadOnly, (path: string) => openWhatCan(path, () => 1)]) {
      const error = errorOf(open(folder));
      expect(error).toMatchObject({ code: 'damaged', keptAt: join(folder, 'lab.sqlite') });
      expect(error.todo).toContain('lanebench salvage');
      expect(readFileSync(join(folder, 'lab.sqlite'), 'utf8')).toBe(rubbish);
    }
  });

  test('a renamed column counts as damage', () => {
    const folder = scratch();
    opened(folder).close();
    const db = new BetterSqlite(join(folder, 'lab.sqlite'));
    db.exec('ALTER TABLE setting RENAME COLUMN text TO tixt');
    db.close();
    expect(errorOf(openStore(folder)).code).toBe('damaged');
  });

  test('an emptied file beside raw files is not taken for a new lab folder', async () => {
    const folder = scratch();
    const store = opened(folder);
    valueOf(await store.addRawBytes(new Uint8Array([1])));
    store.close();
    writeFileSync(join(folder, 'lab.sqlite'), '');
    expect(errorOf(openStore(folder))).toMatchObject({
      code: 'damaged',
      keptAt: join(folder, 'lab.sqlite'),
    });
  });

  test('a folder that cannot be made, and one without a lab file', () => {
    const folder = scratch();
    writeFileSync(join(folder, 'taken'), '');
    expect(errorOf(openStore(join(folder, 'taken'))).code).toBe('cannot_create');
    expect(errorOf(openStore(join(folder, 'taken', 'lab'))).code).toBe('cannot_create');
    expect(errorOf(openStoreReadOnly(join(folder, 'none'))).code).toBe('not_a_lab_folder');
    expect(existsSync(join(folder, 'none'))).toBe(false);
  });
});

describe('a read-only folder', () => {
  test('is refused for writing and opened for reading, from a read-only disk', (context) => {
    const disk = tinyDisk(4 << 20);
    if (disk === null) return context.skip(NO_DISK);
    const store = opened(disk.folder);
    const day = aDay(store);
    valueOf(decideOn(store, day, 'k', null, 'kept'));
    store.close();
    disk.makeReadOnly();
    expect(errorOf(openStore(disk.folder)).code).toBe('read_only');
    const looked = valueOf(openWhatCan(disk.folder, () => 1));
    expect(looked.readOnly?.code).toBe('read_only');
    expect(looked.listDays()).toHaveLength(1);
    expect(errorOf(decideOn(looked, day, 'k', 'kept', 'other')).code).toBe('read_only');
    looked.close();
    const reading = valueOf(openStoreReadOnly(disk.folder));
    expect(reading.inForce(day).get('test')?.get('k')?.after).toBe('kept');
    reading.close();
  });

  test('is read with the log that a crash left in it', (context) => {
    const disk = tinyDisk(4 << 20);
    if (disk === null) return context.skip(NO_DISK);
    const folder = scratch();
    const store = opened(folder);
    const day = aDay(store);
    valueOf(decideOn(store, day, 'k', null, 'in the log'));
    for (const name of ['lab.sqlite', 'lab.sqlite-wal'])
      writeFileSync(join(disk.folder, name), readFileSync(join(folder, name)));
    disk.makeReadOnly();
    const reading = valueOf(openStoreReadOnly(disk.folder));
    expect(reading.inForce(day).get('test')?.get('k')?.after).toBe('in the log');
    reading.close();
    expect(readdirSync(disk.folder).sort()).toEqual(['lab.sqlite', 'lab.sqlite-wal']);
  });

  test('is refused for writing by its mode, for one who is not root', (context) => {
    const folder = join(scratch(), 'lab');
    mkdirSync(folder);
    opened(folder).close();
    chmodSync(folder, 0o555);
    onTestFinished(() => chmodSync(folder, 0o755));
    if (process.getuid?.() === 0 || process.platform === 'win32') {
      return context.skip('root and Windows pass over the mode of a folder');
    }
    expect(errorOf(openStore(folder)).code).toBe('read_only');
    valueOf(openStoreReadOnly(folder)).close();
  });
});
