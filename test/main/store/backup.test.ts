import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Store } from '../../../main/store/store.ts';
import { aDay, AT, decideOn, errorOf, NO_DISK, opened, scratch, tinyDisk, valueOf, WHO } from './support.ts';

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
    expect(readdirSync(made.folder).sort()).toEqual(['lab.head', 'lab.sqlite', 'raw']);
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
