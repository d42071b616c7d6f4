import {
  chmodSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { contentPath } from '../../../main/store/layout.ts';
import { openStoreReadOnly, type Store } from '../../../main/store/store.ts';
import { aDay, AT, decideOn, errorOf, NO_DISK, opened, scratch, tinyDisk, valueOf, WHO } from './support.ts';

/** No process has such a number. */
const GONE = 4_194_305;

async function filled(store: Store): Promise<number> {
  const film = valueOf(await store.addRawBytes(Buffer.alloc(1_500_000, 3)));
  const notes = valueOf(await store.addRawBytes(Buffer.from('notes')));
  const files = [
    { path: 'film.mp4', ...film },
    { path: 'notes.txt', ...notes },
  ];
  const day = { day: 'D1', date: null, venue: null, source: '/d', files, at: AT, who: WHO };
  return valueOf(store.recordDay(day)).id;
}

describe('a backup', () => {
  test('made while in use is a whole lab folder of its own', async () => {
    const folder = scratch();
    const store = opened(join(folder, 'lab'));
    const day = await filled(store);
    valueOf(decideOn(store, day, 'k', null, 'before'));
    const making = store.backupTo(join(folder, 'backups', 'monday'));
    valueOf(decideOn(store, day, 'k', 'before', 'while it was made'));
    const made = valueOf(await making);
    expect(made).toMatchObject({ rawFiles: 2, rawBytes: 1_500_005, damagedRaw: [], missingRaw: [] });
    expect(readdirSync(join(folder, 'backups'))).toEqual(['monday']);
    expect(readdirSync(made.folder).sort()).toEqual(['backup.json', 'lab.head', 'lab.sqlite', 'raw']);
    const copy = opened(made.folder);
    expect(copy.dayFiles(day)).toEqual(store.dayFiles(day));
    expect(['before', 'while it was made']).toContain(copy.inForce(day).get('test')?.get('k')?.after);
    expect(await copy.checkIntegrity()).toMatchObject({ sound: true, rawFiles: 2 });
  });

  test('overwrites nothing and does not lie in the lab folder', async () => {
    const folder = scratch();
    const store = opened(join(folder, 'lab'));
    mkdirSync(join(folder, 'taken'));
    writeFileSync(join(folder, 'taken', 'mine'), 'kept');
    for (const target of ['taken', 'taken/mine', 'lab', 'lab/raw/backup'])
      expect(errorOf(await store.backupTo(join(folder, target))).code).toBe('target_taken');
    expect(readFileSync(join(folder, 'taken', 'mine'), 'utf8')).toBe('kept');
    mkdirSync(join(folder, 'empty'));
    valueOf(await store.backupTo(join(folder, 'empty')));
    valueOf(await store.backupTo(join(folder, '..lab')));
  });

  test('says which raw files were damaged or missing, and saves the rest', async () => {
    const folder = scratch();
    const store = opened(join(folder, 'lab'));
    const day = await filled(store);
    const [film, notes] = store.dayFiles(day).map(({ sha256 }) => sha256);
    rmSync(store.rawPath(film ?? ''));
    rmSync(store.rawPath(notes ?? ''));
    writeFileSync(store.rawPath(notes ?? ''), 'n0tes');
    expect(valueOf(await store.backupTo(join(folder, 'backup')))).toMatchObject({
      rawFiles: 1,
      damagedRaw: [store.rawPath(notes ?? '')],
      missingRaw: [film],
    });
    expect(await store.checkIntegrity()).toMatchObject({ sound: false, missingRaw: [film] });
  });

  test('cancelled leaves nothing behind', async () => {
    const folder = scratch();
    const store = opened(join(folder, 'lab'));
    await filled(store);
    const backing = store.backupTo(join(folder, 'backup'), AbortSignal.abort());
    await expect(backing).rejects.toMatchObject({ name: 'AbortError' });
    expect(readdirSync(folder)).toEqual(['lab']);
  });

  test('onto a full disk says so and leaves nothing behind', async (context) => {
    const disk = tinyDisk(1 << 20);
    if (disk === null) return context.skip(NO_DISK);
    const store = opened(scratch());
    await filled(store);
    aDay(store, 'D2');
    expect(errorOf(await store.backupTo(join(disk.folder, 'backup'))).code).toBe('disk_full');
    expect(existsSync(join(disk.folder, 'backup'))).toBe(false);
    expect(readdirSync(disk.folder)).toEqual([]);
  });
});

describe('a backup of before', () => {
  /** A lab folder with a backup of it, closed, and one more file and decision since. */
  async function backedUp() {
    const folder = scratch();
    const store = opened(join(folder, 'lab'));
    const day = await filled(store);
    const to = join(folder, 'backup');
    valueOf(await store.backupTo(to));
    const more = valueOf(await store.addRawBytes(Buffer.from('more')));
    valueOf(
      store.recordDay({
        day: 'D2', date: null, venue: null, source: '/d', files: [{ path: 'more.txt', ...more }], at: AT, who: WHO,
      }), // prettier-ignore
    );
    return { folder, store, day, to, more };
  }

  test('is brought up to date: only what changed is copied, and the copy is whole', async () => {
    const { store, to, more } = await backedUp();
    const film = contentPath(join(to, 'raw'), store.dayFiles(1)[0]!.sha256);
    const { ino } = statSync(film);
    expect(valueOf(await store.backupTo(to))).toMatchObject({ rawFiles: 1, rawBytes: 4, unchanged: 2 });
    expect(statSync(film).ino).toBe(ino);
    expect(readdirSync(to).sort()).toEqual(['backup.json', 'lab.head', 'lab.sqlite', 'raw']);
    expect(valueOf(await store.backupTo(to))).toMatchObject({ rawFiles: 0, unchanged: 3 });
    const copy = opened(to);
    expect(copy.listDays()).toHaveLength(2);
    expect(copy.hasRaw(more.sha256)).toBe(true);
    expect(copy.losses()).toEqual([]);
    expect(await copy.checkIntegrity()).toMatchObject({ sound: true, rawFiles: 3 });
  });

  test('is read back whole where that is asked for, and what is damaged in it is copied anew', async () => {
    const { store, to } = await backedUp();
    const film = contentPath(join(to, 'raw'), store.dayFiles(1)[0]!.sha256);
    chmodSync(film, 0o644);
    writeFileSync(film, Buffer.alloc(1_500_000, 4));
    // Its length is as it was: only reading it shows.
    expect(valueOf(await store.backupTo(to))).toMatchObject({ unchanged: 2 });
    expect(valueOf(await store.backupTo(to, undefined, undefined, true))).toMatchObject({ rawFiles: 1 });
    expect(await opened(to).checkIntegrity()).toMatchObject({ sound: true });
  });

  test('keeps what the lab folder has lost', async () => {
    const { store, to } = await backedUp();
    const { sha256 } = store.dayFiles(1)[0]!;
    rmSync(store.rawPath(sha256));
    expect(valueOf(await store.backupTo(to))).toMatchObject({ missingRaw: [] });
    expect(opened(to).hasRaw(sha256)).toBe(true);
  });

  test('of another lab folder, of a later state, or in use as a lab folder is left alone', async () => {
    const { folder, store, day, to } = await backedUp();
    const other = opened(join(folder, 'other'));
    aDay(other);
    expect(errorOf(await other.backupTo(to)).says).toMatch(/another lab folder/);
    valueOf(decideOn(store, day, 'k', null, 1));
    const older = opened(valueOf(await store.backupTo(join(folder, 'earlier'))).folder);
    valueOf(decideOn(store, day, 'k', 1, 2));
    valueOf(await store.backupTo(to));
    expect(errorOf(await older.backupTo(to)).says).toMatch(/it may have lost some/);
    opened(to);
    expect(errorOf(await store.backupTo(to)).says).toMatch(/open as a lab folder/);
  });

  test('killed or cancelled on the way is as it was, and the next one goes on', async () => {
    const { store, to, more } = await backedUp();
    const before = readFileSync(join(to, 'lab.sqlite'));
    await expect(store.backupTo(to, AbortSignal.abort())).rejects.toMatchObject({ name: 'AbortError' });
    // As a kill leaves it: something half copied.
    mkdirSync(join(to, `unfinished-${GONE}`));
    writeFileSync(join(to, `unfinished-${GONE}`, 'half'), 'x');
    expect(readFileSync(join(to, 'lab.sqlite')).equals(before)).toBe(true);
    valueOf(await store.backupTo(to));
    expect(readdirSync(to).join()).not.toContain('unfinished');
    expect(opened(to).hasRaw(more.sha256)).toBe(true);
  });

  test('is restored into an empty folder as a lab folder like the one before', async () => {
    const { folder, store, day, to } = await backedUp();
    valueOf(await store.backupTo(to));
    const backup = valueOf(openStoreReadOnly(to));
    const home = join(folder, 'new');
    valueOf(await backup.restoreTo(home));
    expect(errorOf(await backup.restoreTo(home)).code).toBe('target_taken');
    backup.close();
    expect(readdirSync(home).sort()).toEqual(['lab.head', 'lab.sqlite', 'raw']);
    const restored = opened(home);
    expect(restored.dayFiles(day)).toEqual(store.dayFiles(day));
    valueOf(decideOn(restored, day, 'k', null, 'goes on'));
    expect(await restored.checkIntegrity()).toMatchObject({ sound: true });
  });
});
