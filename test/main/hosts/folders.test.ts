/** The lab folder's place and its mark. Source of the Linux place: XDG Base Directory Specification 0.8. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { defaultLabFolder } from '../../../main/lab/home.ts';
import { LOCK_FILE, processLives, takeLock } from '../../../main/lab/lock.ts';
import { openingFault } from '../../../main/lab/opening.ts';
import { findSampleFolder, openSampleDay } from '../../../main/lab/sample.ts';
import { fakeLab, fakeRoot } from './fake-lab.ts';

let root: string;
let home: string;
let remove: () => void;
beforeEach(() => {
  ({ root, home, remove } = fakeRoot());
});
afterEach(() => remove());

describe("the lab folder's place", () => {
  it.each([
    ['LANEBENCH_HOME before all', { LANEBENCH_HOME: '/lab', XDG_DATA_HOME: '/data' }, 'linux', '/lab'],
    ['no heed to an empty LANEBENCH_HOME', { LANEBENCH_HOME: '' }, 'linux', '/home/a/.local/share/lanebench'],
    ['XDG_DATA_HOME', { XDG_DATA_HOME: '/data' }, 'linux', '/data/lanebench'],
    [
      'no heed to a relative XDG_DATA_HOME',
      { XDG_DATA_HOME: 'data' },
      'linux',
      '/home/a/.local/share/lanebench',
    ],
    ['the default of XDG', {}, 'freebsd', '/home/a/.local/share/lanebench'],
    [
      'Application Support',
      { XDG_DATA_HOME: '/data' },
      'darwin',
      '/home/a/Library/Application Support/Lanebench',
    ],
  ] as const)('is %s', (_what, environment, platform, expected) => {
    expect(defaultLabFolder(environment, platform, '/home/a')).toBe(expected);
  });

  it('is LOCALAPPDATA on Windows', () => {
    expect(defaultLabFolder({ LOCALAPPDATA: 'D:\\Local' }, 'win32', 'C:\\Users\\a')).toBe(
      'D:\\Local\\Lanebench',
    );
    expect(defaultLabFolder({}, 'win32', 'C:\\Users\\a')).toBe('C:\\Users\\a\\AppData\\Local\\Lanebench');
  });
});

describe("the lab folder's mark", () => {
  const since = () => new Date().toISOString();
  const mark = (content: unknown) =>
    writeFileSync(join(home, LOCK_FILE), typeof content === 'string' ? content : JSON.stringify(content));

  it('is made with the folder, readable by its owner only, and taken away at the end', async () => {
    const deep = join(home, 'a', 'b');
    const lock = await takeLock(deep, { port: 1, key: 'k'.repeat(43) });
    expect(lock.kind).toBe('ours');
    expect(JSON.parse(readFileSync(join(deep, LOCK_FILE), 'utf8'))).toMatchObject({ pid: process.pid });
    if (process.platform !== 'win32') expect(statSync(join(deep, LOCK_FILE)).mode & 0o777).toBe(0o600);
    if (lock.kind === 'ours') await lock.release();
    expect(readdirSync(deep)).toEqual([]);
  });

  it('holds while the other process lives', async () => {
    mark({ pid: process.ppid, since: since(), door: null });
    expect(await takeLock(home, null)).toMatchObject({ kind: 'held', holder: { pid: process.ppid } });
  });

  it.each([
    ['of a process that is gone', { pid: 2 ** 22 + 1, since: new Date().toISOString(), door: null }],
    [
      'from before the machine was started',
      { pid: process.ppid, since: '2001-01-01T00:00:00.000Z', door: null },
    ],
    ['cut short', '{"pid":'],
    ['empty', ''],
    ['of another form', { process: 1 }],
  ])('%s is cleared away', async (_what, content) => {
    mark(content);
    expect((await takeLock(home, null)).kind).toBe('ours');
    expect(readdirSync(home)).toEqual([LOCK_FILE]);
  });

  it('is not taken away by one who no longer holds it', async () => {
    const lock = await takeLock(home, null);
    mark({ pid: process.ppid, since: since(), door: null });
    if (lock.kind === 'ours') await lock.release();
    expect(existsSync(join(home, LOCK_FILE))).toBe(true);
  });

  it('goes to one of many processes that ask at once, over a dead mark', async () => {
    mark({ pid: 2 ** 22 + 1, since: since(), door: null });
    const script = `
      import { takeLock } from ${JSON.stringify(new URL('../../../main/lab/lock.ts', import.meta.url).href)};
      console.log((await takeLock(${JSON.stringify(home)}, null)).kind);
      process.stdin.resume();`;
    const all = Array.from({ length: 5 }, () =>
      spawn(process.execPath, ['--input-type=module', '-e', script]),
    );
    const said = await Promise.all(
      all.map(async (child) => String((await once(child.stdout, 'data'))[0]).trim()),
    );
    for (const child of all) child.stdin.end();
    expect(said.sort()).toEqual(['held', 'held', 'held', 'held', 'ours']);
  });

  it('knows a living process from a dead one', () => {
    expect(processLives({ pid: process.ppid, since: since(), door: null })).toBe(true);
    expect(processLives({ pid: process.pid, since: since(), door: null })).toBe(false);
    expect(processLives({ pid: 2 ** 22 + 1, since: since(), door: null })).toBe(false);
  });

  it('fails with a sentence where the folder cannot be written', async () => {
    writeFileSync(join(home, 'file'), '');
    const error: unknown = await takeLock(join(home, 'file', 'lab'), null).catch((reason: unknown) => reason);
    expect(openingFault(error, 'X')).toMatch(/^The lab folder X cannot be used: .*LANEBENCH_HOME/);
  });
});

describe('the sample day', () => {
  it('is the one folder with a day.json', () => {
    expect(findSampleFolder(root)).toBeNull();
    const day = (name: string) => {
      mkdirSync(join(root, 'sample-sessions', name), { recursive: true });
      writeFileSync(join(root, 'sample-sessions', name, 'day.json'), '{}');
    };
    mkdirSync(join(root, 'sample-sessions', 'make'), { recursive: true });
    expect(findSampleFolder(root)).toBeNull();
    day('one');
    expect(findSampleFolder(root)).toBe(join(root, 'sample-sessions', 'one'));
    day('two');
    expect(findSampleFolder(root)).toBeNull();
  });

  it('is opened and waited for', async () => {
    expect(await openSampleDay(fakeLab(root))).toEqual({ ok: true, value: 7 });
  });

  it('that fails, fails with its error', async () => {
    const error = { code: 'not_a_day', says: 'No.', todo: 'Do.' } as const;
    expect(await openSampleDay({ carry: async () => ({ ok: false, error }) })).toEqual({ ok: false, error });
    const job = { job: 1, what: '', state: 'failed', done: 0, total: 1, day: null, error };
    expect(await openSampleDay({ carry: async () => ({ ok: true, value: job }) })).toEqual({
      ok: false,
      error,
    });
  });
});
