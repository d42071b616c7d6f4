/** The lab folder's place, and the sample day's. Source of the Linux place: XDG Base Directory Specification 0.8. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { defaultLabFolder } from '../../../main/lab/home.ts';
import { findSampleFolder, openSampleDay } from '../../../main/lab/sample.ts';
import { fakeLab, fakeRoot } from './fake-lab.ts';

let root: string;
let remove: () => void;
beforeEach(() => {
  ({ root, remove } = fakeRoot());
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
