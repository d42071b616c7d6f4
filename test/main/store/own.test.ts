/** A lab folder is its owner's alone, whatever the umask: another user of the machine reads nothing of it. */
import { spawnSync } from 'node:child_process';
import { chmodSync, mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { openStore } from '../../../main/store/store.ts';

const isRoot = process.getuid?.() === 0;
/** The account that owns nothing, by the Linux Standard Base. */
const NOBODY = 65534;

it.skipIf(process.platform === 'win32')(
  'keeps folders to 700 and files to 600, and shuts an older one',
  async () => {
    const place = mkdtempSync(join(tmpdir(), 'lanebench-own-'));
    // The way to the lab folder is open to all, so that it is the folder itself that keeps others out.
    chmodSync(place, 0o755);
    const umask = process.umask(0);
    onTestFinished(() => {
      process.umask(umask);
      rmSync(place, { recursive: true, force: true });
    });
    const home = join(place, 'lab');
    const work = async () => {
      const opened = openStore(home);
      if (!opened.ok) throw new Error(opened.error.says);
      const store = opened.value;
      const film = await store.addRawBytes(Buffer.from('a film of a swimmer'));
      if (!film.ok) throw new Error(film.error.says);
      store.setSetting('operator', 'AB', 'AB', '2026-03-14T09:00:00.000Z');
      const backup = join(place, `backup-${readdirSync(place).length}`);
      expect((await store.backupTo(backup)).ok).toBe(true);
      expect(store.openToOthers()).toBeNull();
      const paths = [home, backup].flatMap((folder) => [
        folder,
        ...readdirSync(folder, { recursive: true }).map((name) => join(folder, String(name))),
      ]);
      expect(paths.some((path) => path.endsWith('lab.sqlite-wal'))).toBe(true);
      for (const path of paths) expect([path, statSync(path).mode & 0o077]).toEqual([path, 0]);
      if (isRoot)
        for (const path of paths) {
          const tried = spawnSync(statSync(path).isDirectory() ? '/bin/ls' : '/bin/cat', [path], {
            uid: NOBODY,
            gid: NOBODY,
            encoding: 'utf8',
          });
          expect([path, tried.status === 0, tried.stdout]).toEqual([path, false, '']);
        }
      store.close();
    };
    await work();
    // As an older program left it.
    for (const name of ['', 'raw', 'lab.sqlite', 'lab.head']) chmodSync(join(home, name), 0o755);
    await work();
  },
);
