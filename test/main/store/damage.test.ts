/** Damage costs what it hits, named; everything else goes on. Bytes are flipped in real files. */
import { copyFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import BetterSqlite from 'better-sqlite3';
import { describe, expect, onTestFinished, test } from 'vitest';
import { openStore, openWhatCan, type Store } from '../../../main/store/store.ts';
import { aDay, AT, decideOn, errorOf, opened, scratch, valueOf, WHO } from './support.ts';

const looked = (folder: string): Store => {
  const store = valueOf(openWhatCan(folder, () => 1));
  onTestFinished(store.close);
  return store;
};

/** Two days with decisions, a sensor's calibration; closed. */
function aLab(): string {
  const folder = join(scratch(), 'lab');
  const store = opened(folder);
  for (const code of ['D1', 'D2']) {
    const day = aDay(store, code);
    valueOf(decideOn(store, day, 'k1', null, 'before'));
    valueOf(decideOn(store, day, 'k1', 'before', 'the marked one'));
    valueOf(decideOn(store, day, 'k2', null, 'other'));
  }
  const calibration = { sensor: 'S-01', at: AT, who: WHO, version: '1', day: null, sha256: null };
  valueOf(store.addCalibration({ ...calibration, content: { is: 'calibrated' } }));
  store.close();
  return folder;
}

/** Changes bytes of the file in place, as a disk might: no page knows of it. */
function flip(folder: string, from: string, to: string): void {
  const path = join(folder, 'lab.sqlite');
  const bytes = readFileSync(path);
  const at = bytes.indexOf(from);
  if (at < 0) throw new Error(`${from} is not in the file`);
  bytes.write(to, at, 'latin1');
  writeFileSync(path, bytes);
}

describe('one changed character', () => {
  test('in a decision costs that decision: what stood before counts, and all else can be worked with', () => {
    const folder = aLab();
    flip(folder, 'k1\0'.slice(0, 2) + '"before""the marked one"', 'k1"before""the marxed one"');
    const store = valueOf(openStore(folder));
    onTestFinished(store.close);
    expect(store.damage).toHaveLength(1);
    const [{ day, says, blocks } = { day: 0, says: '', blocks: true }] = store.damage;
    expect(says).toMatch(/^Decision \d+ is not what was recorded: it does not count\.$/);
    expect(blocks).toBe(false);
    const other = day === 1 ? 2 : 1;
    const value = (of: number, key: string) => store.inForce(of).get('test')?.get(key)?.after;
    expect([value(day!, 'k1'), value(day!, 'k2')]).toEqual(['before', 'other']);
    expect([value(other, 'k1'), value(other, 'k2')]).toEqual(['the marked one', 'other']);
    const shown = store.history(day!).map(({ key, after, says: told }) => [key, after, told]);
    expect(shown).toContainEqual(['', null, says.replace(/\.$/, '')]);
    expect(JSON.stringify(shown)).not.toContain('marxed');
    valueOf(decideOn(store, day!, 'k1', 'before', 'decided anew'));
    expect(value(day!, 'k1')).toBe('decided anew');
  });

  test('in who took a step closes that day for decisions, and no other', () => {
    const folder = aLab();
    flip(folder, `decided${AT}${WHO}`, `decided${AT}XY`);
    const store = valueOf(openStore(folder));
    onTestFinished(store.close);
    const [{ day } = { day: 0 }] = store.damage;
    expect(store.damage).toMatchObject([{ blocks: true }]);
    expect(store.history(day!).map(({ says }) => says)).toContainEqual(
      expect.stringContaining('(who took this step, or when, is not what was recorded)'),
    );
    expect(errorOf(decideOn(store, day!, 'k1', 'the marked one', 'x')).code).toBe('damaged');
    expect(errorOf(store.undo(day!, WHO, AT)).code).toBe('damaged');
    valueOf(decideOn(store, day === 1 ? 2 : 1, 'k1', 'the marked one', 'x'));
  });

  test('in a calibration costs that one, with its sensor named', () => {
    const folder = aLab();
    flip(folder, 'calibrated', 'calibrixed');
    const store = valueOf(openStore(folder));
    onTestFinished(store.close);
    expect(store.damage).toMatchObject([{ sensor: 'S-01' }]);
    expect(store.calibrations()).toEqual([]);
  });

  test('in the venue of a day, which no seal of old covered, is named', () => {
    const folder = aLab();
    flip(folder, 'invented pool', 'inventad pool');
    const store = valueOf(openStore(folder));
    onTestFinished(store.close);
    expect(store.damage.map(({ says }) => says).join()).toMatch(
      /folder of day \d+.* is not what was recorded/,
    );
    expect(store.listDays()).toHaveLength(2);
  });
});

describe('a page that is gone', () => {
  /** Writes rubbish over the first page that holds the text. */
  function wreck(folder: string, text: string): void {
    const path = join(folder, 'lab.sqlite');
    const bytes = readFileSync(path);
    const at = bytes.indexOf(text);
    bytes.fill(0xa5, Math.floor(at / 4096) * 4096, Math.floor(at / 4096) * 4096 + 4096);
    writeFileSync(path, bytes);
  }

  test('of calibrations leaves the days to be looked at, in a file that is left as it is', () => {
    const folder = aLab();
    wreck(folder, 'calibrated');
    const before = readFileSync(join(folder, 'lab.sqlite'));
    expect(errorOf(openStore(folder)).code).toBe('damaged');
    const store = looked(folder);
    expect(store.readOnly?.code).toBe('damaged');
    expect(store.listDays().map(({ day }) => day)).toEqual(['D1', 'D2']);
    expect(store.inForce(1).get('test')?.get('k1')?.after).toBe('the marked one');
    expect(store.damage.map(({ says }) => says).join(' ')).toContain(
      'Not all of the table calibration could be read',
    );
    expect(errorOf(decideOn(store, 1, 'k1', 'the marked one', 'x')).code).toBe('damaged');
    expect(readFileSync(join(folder, 'lab.sqlite')).equals(before)).toBe(true);
    expect(existsSync(join(folder, 'quarantine'))).toBe(false);
  });

  test('of the head of the file is taken from an empty one', () => {
    const folder = aLab();
    const path = join(folder, 'lab.sqlite');
    const bytes = readFileSync(path);
    bytes.fill(0, 0, 16);
    writeFileSync(path, bytes);
    const store = looked(folder);
    expect(store.listDays().map(({ day }) => day)).toEqual(['D1', 'D2']);
    expect(store.damage.map(({ says }) => says).join(' ')).toContain(
      'The head of the lab file could not be read',
    );
  });
});

test('a damaged index is made anew, and the file as it was is kept', () => {
  const folder = aLab();
  const path = join(folder, 'lab.sqlite');
  const db = new BetterSqlite(path);
  const { rootpage } = db.prepare(`SELECT rootpage FROM sqlite_schema WHERE name = 'act_row'`).get() as {
    rootpage: number;
  };
  db.close();
  // A changed letter in the index alone: it no longer leads to the row.
  const bytes = readFileSync(path);
  const at = bytes.indexOf('turn', (rootpage - 1) * 4096);
  expect(at).toBeLessThan(rootpage * 4096);
  bytes.write('tern', at);
  writeFileSync(path, bytes);
  const store = valueOf(openStore(folder));
  onTestFinished(store.close);
  expect(store.damage.map(({ says }) => says).join()).toContain('was made anew');
  expect(readFileSync(join(folder, 'before-repair', '1', 'lab.sqlite')).equals(bytes)).toBe(true);
  expect(store.inForce(1).get('test')?.get('k1')?.after).toBe('the marked one');
});

test('a database whose log is cut is opened, and what is missing is told', () => {
  const folder = scratch();
  const store = opened(folder);
  const day = aDay(store);
  for (let n = 0; n < 8; n += 1) valueOf(decideOn(store, day, `k${n}`, null, n));
  const left = join(scratch(), 'left');
  mkdirSync(left);
  for (const name of ['lab.sqlite', 'lab.head']) copyFileSync(join(folder, name), join(left, name));
  const log = readFileSync(join(folder, 'lab.sqlite-wal'));
  writeFileSync(join(left, 'lab.sqlite-wal'), log.subarray(0, Math.floor(log.length * 0.7)));
  const again = looked(left);
  expect(again.readOnly).toBeNull();
  expect(again.losses()).toMatchObject([{ expected: 9 }]);
});
