/** From an open lab folder to its end, with a small program in the browser's place. */
import { chmodSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { LOCK_FILE } from '../../../main/lab/lock.ts';
import { serve, type ServeOptions } from '../../../main/start/serve.ts';
import { enter } from './ask.ts';
import { fakeLab, fakeRoot, type FakeLab } from './fake-lab.ts';

let root: string;
let home: string;
let remove: () => void;
let lab: FakeLab;
let said: string[];
let ending: AbortController;

beforeEach(() => {
  ({ root, home, remove } = fakeRoot());
  lab = fakeLab(root);
  said = [];
  ending = new AbortController();
});
afterEach(() => {
  ending.abort();
  remove();
});

function options(more: Partial<ServeOptions> = {}): ServeOptions {
  return {
    root,
    home,
    version: '1.2.3',
    sample: false,
    browser: null,
    openLab: async () => lab,
    build: async () => null,
    say: (line) => said.push(line),
    signal: ending.signal,
    ...more,
  };
}

async function saidLink(from = 0): Promise<string> {
  return vi.waitFor(() => {
    const link = /http:\S+token=\S+/.exec(said.slice(from).join('\n'))?.[0];
    if (link === undefined) throw new Error('No link was said.');
    return link;
  }, 5_000);
}

/** A browser that goes to its link, stays `ms`, writes what it met, and ends. */
function fakeBrowser(ms: number, goes = true): string {
  const file = join(root, 'browser');
  const script = `#!${process.execPath}
const link = process.argv.find((one) => one.startsWith('--app=')).slice(6);
const after = () => setTimeout(() => {}, ${ms});
if (${goes}) fetch(link, { redirect: 'manual' }).then((answer) => {
  require('fs').writeFileSync(${JSON.stringify(join(root, 'met.json'))}, JSON.stringify({ link, status: answer.status }));
  after();
}); else after();
`;
  writeFileSync(file, script);
  chmodSync(file, 0o755);
  return file;
}

describe('a link', () => {
  it('is said once and works; the end closes the lab and lets the folder go', async () => {
    const served = serve(options());
    await enter(await saidLink());
    expect(existsSync(join(home, LOCK_FILE))).toBe(true);
    ending.abort();
    expect([await served, lab.closings(), existsSync(join(home, LOCK_FILE))]).toEqual([0, 1, false]);
  });

  it('leads to the sample day where asked', async () => {
    const served = serve(options({ sample: true }));
    expect(await saidLink()).toMatch(/#\/day\/7$/);
    ending.abort();
    await served;
  });

  it('is given again to a second start, which ends well', async () => {
    const served = serve(options());
    await saidLink();
    const before = said.length;
    expect(await serve(options())).toBe(0);
    expect(said[before]).toContain('already open');
    await enter(await saidLink(before));
    ending.abort();
    await served;
    expect(lab.closings()).toBe(1);
  });
});

describe.skipIf(process.platform === 'win32')('a window', () => {
  it('that is closed ends the program', async () => {
    expect(await serve(options({ browser: fakeBrowser(3_200) }))).toBe(0);
    expect(JSON.parse(readFileSync(join(root, 'met.json'), 'utf8'))).toMatchObject({ status: 303 });
    expect([said, lab.closings()]).toEqual([[], 1]);
  });

  it('that a running browser took over leaves the program running', async () => {
    const served = serve(options({ browser: fakeBrowser(0) }));
    await vi.waitFor(() => expect(said.join()).toContain('already running'), 5_000);
    ending.abort();
    expect(await served).toBe(0);
  });

  it('that never comes in is replaced by a link', async () => {
    const served = serve(options({ browser: fakeBrowser(0, false) }));
    await enter(await saidLink());
    expect(said[0]).toContain('did not open');
    ending.abort();
    await served;
  });

  it('that cannot be run is replaced by a link', async () => {
    const served = serve(options({ browser: join(root, 'none') }));
    await saidLink();
    ending.abort();
    expect(await served).toBe(0);
  });

  it('is closed with the program', async () => {
    const served = serve(options({ browser: fakeBrowser(60_000) }));
    await vi.waitFor(() => expect(existsSync(join(root, 'met.json'))).toBe(true), 5_000);
    ending.abort();
    expect(await served).toBe(0);
  });
});

describe('what stands in the way', () => {
  it('of another program on the folder is said, and no error', async () => {
    writeFileSync(
      join(home, LOCK_FILE),
      JSON.stringify({ pid: process.ppid, since: new Date().toISOString(), door: null }),
    );
    expect(await serve(options())).toBe(0);
    expect(said.join()).toContain(`already open on the lab folder ${home} (process ${process.ppid})`);
    expect(lab.closings()).toBe(0);
  });

  it('of the build or the lab is said, and the folder let go', async () => {
    expect(await serve(options({ build: async () => 'No build.' }))).toBe(1);
    const openLab = () => Promise.reject(Object.assign(new Error(), { says: 'Newer.', todo: 'Update.' }));
    expect(await serve(options({ openLab }))).toBe(1);
    expect([said, existsSync(join(home, LOCK_FILE))]).toEqual([['No build.', 'Newer. Update.'], false]);
  });

  it('is nothing where a person ends the program during the build', async () => {
    const build = async () => {
      ending.abort();
      return 'The screens could not be built.';
    };
    expect([await serve(options({ build })), said]).toEqual([0, []]);
  });

  it('of the sample day is said, and the app opens without it', async () => {
    const error = { code: 'not_found', says: 'There is none.', todo: 'Open your own.' } as const;
    const without = { ...lab, carry: async () => ({ ok: false, error }) as const };
    const served = serve(options({ sample: true, openLab: async () => without }));
    expect(await saidLink()).not.toContain('#');
    expect(said[0]).toBe('The sample day could not be opened. There is none. Open your own.');
    ending.abort();
    await served;
  });
});
