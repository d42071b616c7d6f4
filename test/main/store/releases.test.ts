import { createHash } from 'node:crypto';
import { chmodSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import BetterSqlite from 'better-sqlite3';
import { describe, expect, test } from 'vitest';
import { salvageLab } from '../../../main/store/salvagelab.ts';
import { openStoreReadOnly, type Store } from '../../../main/store/store.ts';
import { aDay, AT, errorOf, opened, scratch, valueOf, WHO } from './support.ts';

/** An invented release of two contents; its hash is what sha256sum's own list of them hashes to. */
async function aRelease(store: Store, name = 'R1') {
  const files = [];
  for (const [path, text] of [
    ['days/D1/trials.csv', 'trial\nT1\n'],
    ['README.md', 'codebook\n'],
  ] as const) {
    const content = valueOf(await store.addRawBytes(Buffer.from(text)));
    files.push({ path, ...content });
  }
  return store.addRelease({ name, version: '1.2.3', about: { days: ['D1'] }, at: AT, who: WHO, files });
}

const sha256 = (text: string) => createHash('sha256').update(text).digest('hex');

describe('a release', () => {
  test('is kept with its contents, chained, and known by the hash of its list', async () => {
    const store = opened(join(scratch(), 'lab'));
    aDay(store);
    const kept = valueOf(await aRelease(store));
    const list = `${sha256('codebook\n')}  README.md\n${sha256('trial\nT1\n')}  days/D1/trials.csv\n`;
    expect(kept.sha256).toBe(sha256(list));
    expect(store.releases()).toEqual([kept]);
    expect(store.getRelease('R1')).toEqual(kept);
    expect(store.getRelease('R2')).toBeNull();
    expect(store.releaseFiles('R1', 'days/D1/').map(({ path }) => path)).toEqual(['days/D1/trials.csv']);
    expect(store.releaseFiles('R1', '')).toHaveLength(2);
    expect((await store.checkIntegrity()).sound).toBe(true);
  });

  test('keeps its name: a second one of that name is refused and changes nothing', async () => {
    const store = opened(join(scratch(), 'lab'));
    const kept = valueOf(await aRelease(store));
    const error = errorOf(await aRelease(store));
    expect(error.says).toBe('There is a release R1 already; a release is never altered.');
    expect(store.releases()).toEqual([kept]);
  });

  test('can be neither altered nor removed, and its contents are not dropped', async () => {
    const folder = join(scratch(), 'lab');
    const store = opened(folder);
    valueOf(await aRelease(store));
    const db = new BetterSqlite(join(folder, 'lab.sqlite'));
    for (const sql of [
      'UPDATE release SET who = 1',
      'DELETE FROM release',
      'DELETE FROM release_file',
      'UPDATE release_file SET bytes = 1',
    ])
      expect(() => db.exec(sql)).toThrow('only ever added to');
    db.close();
    valueOf(store.dropRaw(sha256('codebook\n')));
    expect(store.hasRaw(sha256('codebook\n'))).toBe(true);
  });

  test('whose content is damaged or missing is found by the check, by name', async () => {
    const store = opened(join(scratch(), 'lab'));
    valueOf(await aRelease(store));
    const path = store.rawPath(sha256('codebook\n'));
    chmodSync(path, 0o644);
    writeFileSync(path, 'codebooK\n');
    expect((await store.checkIntegrity()).damagedRaw).toEqual([path]);
    expect(store.rawNames(sha256('codebook\n'))).toEqual(['README.md of the release R1']);
    rmSync(path);
    expect((await store.checkIntegrity()).missingRaw).toEqual([sha256('codebook\n')]);
  });

  test('whose list or words were changed behind the program is told, and does not count', async () => {
    const folder = join(scratch(), 'lab');
    const first = opened(folder);
    valueOf(await aRelease(first));
    valueOf(await aRelease(first, 'R2'));
    first.close();
    const db = new BetterSqlite(join(folder, 'lab.sqlite'));
    db.exec(`DROP TRIGGER release_file_not_removed; DROP TRIGGER release_not_altered;
      DELETE FROM release_file WHERE release = 'R1' AND path = 'README.md';
      UPDATE release SET who = 'CD' WHERE name = 'R2'`);
    db.close();
    const store = opened(folder);
    expect(store.damage.map(({ says }) => says)).toEqual([
      'The list of contents of the release R1 is not what was kept: it does not count.',
      'The release R2 is not what was recorded.',
    ]);
    expect(store.releases().map(({ name }) => name)).toEqual(['R2']);
  });

  test('comes along into a salvaged lab folder, and one that is not whole does not', async () => {
    const [from, to] = [join(scratch(), 'lab'), join(scratch(), 'saved')];
    const first = opened(from);
    const kept = valueOf(await aRelease(first));
    valueOf(await aRelease(first, 'R2'));
    first.close();
    const db = new BetterSqlite(join(from, 'lab.sqlite'));
    db.exec(`DROP TRIGGER release_file_not_removed;
      DELETE FROM release_file WHERE release = 'R2' AND path = 'README.md'`);
    db.close();
    const salvaged = await salvageLab(from, to);
    expect(salvaged).toMatchObject({ ok: true });
    const saved = valueOf(openStoreReadOnly(to));
    expect(saved.releases()).toEqual([kept]);
    expect(saved.releaseFiles('R1', '')).toHaveLength(2);
    saved.close();
  });
});
