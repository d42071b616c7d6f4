import { spawn } from 'node:child_process';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readFileSync,
  rmSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import BetterSqlite from 'better-sqlite3';
import { describe, expect, onTestFinished, test } from 'vitest';
import { openStore, openWhatCan, type Store } from '../../../main/store/store.ts';
import { aDay, decideOn, errorOf, NO_DISK, opened, scratch, tinyDisk, valueOf } from './support.ts';

const COMMITTING = fileURLToPath(new URL('committing.ts', import.meta.url));

/** Runs the committing program; gives the lines it printed, killed once there are `killAfter` of them. */
function commits(folder: string, mark: string, count: number, killAfter = Infinity): Promise<string[]> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [COMMITTING, folder, mark, String(count)]);
    onTestFinished(() => {
      child.kill('SIGKILL');
    });
    let out = '';
    let errors = '';
    child.stderr.on('data', (piece: Buffer) => (errors += piece.toString()));
    child.stdout.on('data', (piece: Buffer) => {
      out += piece.toString();
      if (out.split('\n').length > killAfter) child.kill('SIGKILL');
    });
    child.on('close', (code, signal) => {
      // What follows the last line end is half a line.
      const lines = out.split('\n').slice(0, -1);
      if (code === 0 || signal === 'SIGKILL') resolve(lines);
      else reject(new Error(errors));
    });
  });
}

function printed(store: Store): Set<string> {
  return new Set(store.history(1).map(({ id, key }) => `${id} ${key}`));
}

/** A folder as a crash would leave it: the files of a store that is still open. */
function crashed(from: string): string {
  const folder = join(scratch(), 'crashed');
  mkdirSync(folder);
  for (const name of ['lab.sqlite', 'lab.sqlite-wal', 'lab.head']) {
    if (existsSync(join(from, name))) copyFileSync(join(from, name), join(folder, name));
  }
  return folder;
}

describe('a process that is killed', () => {
  // Shows that a commit is out of the process's hands when it is told; power loss needs the drive's honesty besides.
  test('has kept every commit it told of, kill -9 after kill -9', async () => {
    const folder = join(scratch(), 'lab');
    const told: string[] = [];
    for (const killAfter of [1, 40, 7, 120, 19]) {
      told.push(...(await commits(folder, `run${killAfter}`, Infinity, killAfter)));
    }
    expect(told.length).toBeGreaterThanOrEqual(1 + 40 + 7 + 120 + 19);
    const store = opened(folder);
    const kept = printed(store);
    expect(told.filter((line) => !kept.has(line))).toEqual([]);
    expect(await store.checkIntegrity()).toMatchObject({ sound: true, databaseFaults: [] });
  });
});

describe('two instances', () => {
  test('make and fill the same new lab folder at once', async () => {
    const folder = join(scratch(), 'lab');
    const told = await Promise.all(['a', 'b', 'c'].map((mark) => commits(folder, mark, 40)));
    const store = opened(folder);
    expect(printed(store)).toEqual(new Set(told.flat()));
    expect(told.flat()).toHaveLength(120);
    expect(store.listDays()).toHaveLength(1);
  });

  test('see each other, and the second to decide the same thing is told', () => {
    const folder = scratch();
    const [one, other] = [opened(folder), opened(folder)];
    const day = aDay(one);
    valueOf(decideOn(one, day, 'k', null, 'one'));
    expect(errorOf(decideOn(other, day, 'k', null, 'other')).code).toBe('changed_meanwhile');
    valueOf(decideOn(other, day, 'k', 'one', 'other'));
    expect(one.inForce(day).get('test')?.get('k')?.after).toBe('other');
    expect(valueOf(one.undo(day, 'CD', '2026-03-02T10:00:00Z'))?.after).toBe('other');
    expect(other.canRedo(day)).toBe(true);
  });

  test('one that holds the file too long makes the other say so', () => {
    const folder = scratch();
    const store = opened(folder);
    const day = aDay(store);
    const holder = new BetterSqlite(join(folder, 'lab.sqlite'));
    onTestFinished(() => {
      holder.close();
    });
    holder.exec('BEGIN IMMEDIATE');
    expect(errorOf(decideOn(store, day, 'k', null, 1)).code).toBe('busy');
    holder.exec('ROLLBACK');
    valueOf(decideOn(store, day, 'k', null, 1));
  });
});

describe('a damaged disk', () => {
  test('a truncated log loses the end of it and nothing before', async () => {
    const folder = scratch();
    const store = opened(folder);
    const day = aDay(store);
    for (let n = 0; n < 30; n += 1) valueOf(decideOn(store, day, `k${n}`, null, n));
    const log = readFileSync(join(folder, 'lab.sqlite-wal'));
    let most = -1;
    for (const share of [0, 0.5, 0.8, 0.93, 1]) {
      const left = crashed(folder);
      truncateSync(join(left, 'lab.sqlite-wal'), Math.floor(log.length * share));
      const again = opened(left);
      const found = again.history(day).map(({ after }) => after);
      expect(found).toEqual(Array.from({ length: found.length }, (_, n) => n));
      expect(found.length).toBeGreaterThanOrEqual(most);
      // The opening of the day is the first act, each decision one more.
      const told = again.losses().map(({ expected, found: there }) => [expected, there]);
      expect(told).toEqual(
        found.length === 30 ? [] : [[31, again.getDay(day) === null ? 0 : found.length + 1]],
      );
      expect(await again.checkIntegrity()).toMatchObject({ sound: true });
      most = found.length;
    }
    expect(most).toBe(30);
  });

  test('a loss is told until somebody has taken note of it, and acts go on from what is there', () => {
    const folder = scratch();
    const store = opened(folder);
    const day = aDay(store);
    for (let n = 0; n < 5; n += 1) valueOf(decideOn(store, day, `k${n}`, null, n));
    const earlier = crashed(folder);
    valueOf(decideOn(store, day, 'last', null, 'acknowledged'));
    // The database of a moment ago beside the head of now: what was decided since is cut off.
    copyFileSync(join(folder, 'lab.head'), join(earlier, 'lab.head'));
    const again = valueOf(openStore(earlier));
    expect(again.losses()).toMatchObject([{ expected: 7, found: 6, who: null }]);
    valueOf(decideOn(again, day, 'next', null, 'goes on'));
    again.close();
    const once = opened(earlier);
    expect(once.losses()).toHaveLength(1);
    expect(once.inForce(day).get('test')?.get('next')?.after).toBe('goes on');
  });

  test('one slot of the head that was torn does not cry loss', () => {
    const folder = scratch();
    const store = opened(folder);
    const day = aDay(store);
    for (let n = 0; n < 3; n += 1) valueOf(decideOn(store, day, `k${n}`, null, n));
    store.close();
    for (const slot of [0, 128]) {
      const left = crashed(folder);
      const head = readFileSync(join(left, 'lab.head'));
      head.fill(0, slot, slot + 60);
      writeFileSync(join(left, 'lab.head'), head);
      expect(opened(left).losses()).toEqual([]);
    }
  });

  // Pages of a database carry no checksum (sqlite.org/fileformat2.html): what people decided is sealed instead. A flip
  // in a day's venue, say, that leaves a well-formed text is not noticed.
  test('flipped bytes are noticed or harmless, and the file is never lost', () => {
    const folder = scratch();
    const store = opened(folder);
    const day = aDay(store);
    for (let n = 0; n < 60; n += 1) valueOf(decideOn(store, day, `k${n}`, null, { note: `value ${n}` }));
    const recorded = store.history(day);
    store.close();
    const sound = readFileSync(join(folder, 'lab.sqlite'));
    let noticed = 0;
    for (let n = 0; n < 60; n += 1) {
      const flipped = Buffer.from(sound);
      const start = (n * 7919 * 13) % (sound.length - 16);
      for (let i = start; i < start + 16; i += 1) flipped[i] = (flipped[i] ?? 0) ^ 0xff;
      const left = join(scratch(), 'flipped');
      mkdirSync(left);
      writeFileSync(join(left, 'lab.sqlite'), flipped);
      const outcome = openWhatCan(left, () => 1);
      if (!outcome.ok) {
        noticed += 1;
        expect(['damaged', 'foreign_file', 'from_future']).toContain(errorOf(outcome).code);
        expect(readFileSync(join(left, 'lab.sqlite')).equals(flipped)).toBe(true);
        continue;
      }
      const store = outcome.value;
      store.listDays();
      const found = store.history(day);
      if (store.damage.length > 0) noticed += 1;
      else expect(found).toEqual(recorded);
      if (store.readOnly !== null) expect(readFileSync(join(left, 'lab.sqlite')).equals(flipped)).toBe(true);
      store.close();
    }
    expect(noticed).toBeGreaterThan(6);
  });

  test('a raw file that changed is found', async () => {
    const folder = scratch();
    const store = opened(folder);
    const { sha256 } = valueOf(await store.addRawBytes(Buffer.from('evidence')));
    expect(await store.checkIntegrity()).toMatchObject({ sound: true, rawFiles: 1, rawBytes: 8 });
    rmSync(store.rawPath(sha256));
    writeFileSync(store.rawPath(sha256), 'evidenci');
    expect(await store.checkIntegrity()).toMatchObject({ sound: false, damagedRaw: [store.rawPath(sha256)] });
  });
});

describe('a full disk', () => {
  test('is told; what was recorded before stays, and work goes on once there is room', async (context) => {
    const disk = tinyDisk(1 << 20);
    if (disk === null) return context.skip(NO_DISK);
    const folder = join(disk.folder, 'lab');
    const store = opened(folder);
    const day = aDay(store);
    const ballast = join(disk.folder, 'ballast');
    writeFileSync(ballast, Buffer.alloc(200_000));
    let recorded = 0;
    let outcome = decideOn(store, day, 'k0', null, 'x'.repeat(2000));
    while (outcome.ok) {
      recorded += 1;
      outcome = decideOn(store, day, `k${recorded}`, null, 'x'.repeat(2000));
    }
    expect(errorOf(outcome).code).toBe('disk_full');
    expect(store.history(day)).toHaveLength(recorded);
    expect(errorOf(await store.addRawBytes(Buffer.alloc(300_000))).code).toBe('disk_full');
    rmSync(ballast);
    valueOf(decideOn(store, day, 'after', null, 1));
    store.close();
    const again = opened(folder);
    expect(again.history(day)).toHaveLength(recorded + 1);
    expect(await again.checkIntegrity()).toMatchObject({ sound: true, rawFiles: 0 });
  });

  test('is told when a lab folder is made on it', (context) => {
    const disk = tinyDisk(64 << 10);
    if (disk === null) return context.skip(NO_DISK);
    expect(errorOf(openStore(join(disk.folder, 'lab'))).code).toMatch(/^disk_/);
  });
});
