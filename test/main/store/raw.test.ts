import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { openStore } from '../../../main/store/store.ts';
import { AT, errorOf, opened, scratch, valueOf, WHO } from './support.ts';

/** FIPS 180-4 worked example (NIST, SHA-256 of "abc"). */
const ABC = 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad';

function leftovers(folder: string): string[] {
  return readdirSync(join(folder, 'raw', 'incoming'));
}

describe('raw files', () => {
  test('lie under their SHA-256, read-only, and are the same bytes', async () => {
    const folder = scratch();
    const store = opened(folder);
    const source = join(folder, 'source.csv');
    writeFileSync(source, 'abc');
    expect(valueOf(await store.addRaw(source))).toEqual({ sha256: ABC, bytes: 3 });
    const place = store.rawPath(ABC);
    expect(place).toBe(join(folder, 'raw', 'ba', ABC.slice(2)));
    expect(readFileSync(place, 'utf8')).toBe('abc');
    expect(statSync(place).mode & 0o777).toBe(0o400);
    expect(store.hasRaw(ABC)).toBe(true);
    expect(leftovers(folder)).toEqual([]);
  });

  test('of several pieces are whole, and how far it is is told', async () => {
    const folder = scratch();
    const store = opened(folder);
    const bytes = Buffer.from(Array.from({ length: 2_500_000 }, (_, n) => (n * 31) & 0xff));
    writeFileSync(join(folder, 'film'), bytes);
    const told: number[] = [];
    const { sha256 } = valueOf(await store.addRaw(join(folder, 'film'), undefined, (n) => told.push(n)));
    expect(readFileSync(store.rawPath(sha256)).equals(bytes)).toBe(true);
    expect(told).toEqual([1 << 20, 2 << 20, 2_500_000]);
  });

  test('of the same content lie there once, also where the length is known from a day', async () => {
    const folder = scratch();
    const store = opened(folder);
    writeFileSync(join(folder, 'one'), 'abc');
    writeFileSync(join(folder, 'two'), 'abc');
    writeFileSync(join(folder, 'other'), 'abd');
    const first = valueOf(await store.addRaw(join(folder, 'one')));
    const placed = statSync(store.rawPath(ABC)).ino;
    expect(valueOf(await store.addRaw(join(folder, 'two')))).toEqual(first);
    const files = [{ path: 'one', ...first }];
    valueOf(store.recordDay({ day: 'D1', date: null, venue: null, source: '/d', files, at: AT, who: WHO }));
    expect(valueOf(await store.addRaw(join(folder, 'two')))).toEqual(first);
    expect(valueOf(await store.addRawBytes(Buffer.from('abc')))).toEqual(first);
    expect(valueOf(await store.addRaw(join(folder, 'other'))).sha256).not.toBe(ABC);
    expect(statSync(store.rawPath(ABC)).ino).toBe(placed);
    expect((await store.checkIntegrity()).rawFiles).toBe(2);
  });

  test('brought in at once from two sides are there once', async () => {
    const folder = scratch();
    const store = opened(folder);
    writeFileSync(join(folder, 'one'), 'abc');
    const both = await Promise.all([store.addRaw(join(folder, 'one')), store.addRaw(join(folder, 'one'))]);
    expect(both.map(valueOf)).toEqual([
      { sha256: ABC, bytes: 3 },
      { sha256: ABC, bytes: 3 },
    ]);
    expect(leftovers(folder)).toEqual([]);
  });

  test('found with another length are put aside and replaced by the good copy', async () => {
    const folder = scratch();
    const store = opened(folder);
    valueOf(await store.addRawBytes(Buffer.from('abc')));
    rmSync(store.rawPath(ABC));
    writeFileSync(store.rawPath(ABC), 'ab');
    valueOf(await store.addRawBytes(Buffer.from('abc')));
    expect(readFileSync(store.rawPath(ABC), 'utf8')).toBe('abc');
    expect(readFileSync(join(folder, 'quarantine', '1', ABC.slice(2)), 'utf8')).toBe('ab');
  });

  test('that cannot be read are said to be so', async () => {
    const folder = scratch();
    const store = opened(folder);
    for (const path of [join(folder, 'none'), folder, '/dev/zero']) {
      const error = errorOf(await store.addRaw(path));
      expect(error.code).toBe('source_unreadable');
      expect(error.says).toContain(path);
    }
  });

  test('cancelled half-way leave nothing behind', async () => {
    const folder = scratch();
    const store = opened(folder);
    writeFileSync(join(folder, 'film'), Buffer.alloc(3 << 20, 7));
    const stop = new AbortController();
    const adding = store.addRaw(join(folder, 'film'), stop.signal, () => stop.abort());
    await expect(adding).rejects.toMatchObject({ name: 'AbortError' });
    expect(leftovers(folder)).toEqual([]);
    expect((await store.checkIntegrity()).rawFiles).toBe(0);
  });

  test('a name that is no SHA-256 is a bug, not a path', () => {
    const store = opened(scratch());
    expect(() => store.rawPath('../../etc/passwd')).toThrow('no SHA-256');
  });
});

describe('copies that a crash left unfinished', () => {
  test('are swept on opening; those still being made, or of another computer, are not', () => {
    const folder = scratch();
    opened(folder).close();
    const host = createHash('sha256').update(hostname()).digest('hex').slice(0, 8);
    const gone = spawnSync(process.execPath, ['--version']).pid;
    const [dead, reused, alive, foreign] = [
      `${host}-${gone}-left`,
      `${host}-${process.pid}-left`,
      `${host}-${process.ppid}-making`,
      `00000000-${gone}-making`,
    ];
    for (const name of [dead, reused, alive, foreign])
      writeFileSync(join(folder, 'raw', 'incoming', name), 'ha');
    valueOf(openStore(folder)).close();
    expect(leftovers(folder).sort()).toEqual([alive, foreign].sort());
  });

  test('of this process are kept while it makes them', async () => {
    const folder = scratch();
    const store = opened(folder);
    writeFileSync(join(folder, 'film'), Buffer.alloc(2 << 20, 7));
    let inHand: string[] = [];
    const { sha256 } = valueOf(
      await store.addRaw(join(folder, 'film'), undefined, () => {
        opened(folder);
        inHand = leftovers(folder);
      }),
    );
    expect(inHand).toHaveLength(1);
    expect(existsSync(store.rawPath(sha256))).toBe(true);
  });
});
