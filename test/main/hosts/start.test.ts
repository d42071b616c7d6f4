/** Choosing a host, and what a person hears where something is missing. */
import { chmodSync, mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { findBrowser, type BrowserChoice } from '../../../main/loopback/browser.ts';
import { browserArguments } from '../../../main/loopback/window.ts';
import { sourceHash } from '../../../main/start/build.ts';
import { desktopArguments } from '../../../main/start/electron.ts';
import { chooseHost, hasDisplay } from '../../../main/start/host.ts';
import { nodeFault } from '../../../main/start/node.ts';
import { HELP, readOptions } from '../../../main/start/options.ts';
import { start } from '../../../main/start/start.ts';
import { closedPort } from './ask.ts';
import { fakeRoot } from './fake-lab.ts';

let root: string;
let home: string;
let remove: () => void;
beforeEach(() => {
  ({ root, home, remove } = fakeRoot());
});
afterEach(() => remove());

const write = (path: string, text: string) => {
  mkdirSync(join(root, path, '..'), { recursive: true });
  writeFileSync(join(root, path), text);
};

describe('the host', () => {
  const found: BrowserChoice = { kind: 'found', path: '/usr/bin/chromium' };
  const none: BrowserChoice = { kind: 'none' };

  it.each([
    ['the desktop window where the runtime lies', '/e', found, true, 'desktop'],
    ['a browser window without the runtime', null, found, true, 'window'],
    ['a link without either', null, none, true, 'link'],
    ['a link without a display, whatever is installed', '/e', found, false, 'link'],
    ['a link where only that is wanted', null, { kind: 'unwanted' }, true, 'link'],
    ['a link where the browser named is not there', null, { kind: 'misnamed', named: 'x' }, true, 'link'],
  ] as const)('is %s', (_what, electron, browser, display, kind) => {
    const host = chooseHost({ electron, browser, display });
    expect(host.kind).toBe(kind);
    expect(host.why).toMatch(/^[A-Z].*\.$/);
  });

  it('has a display on Linux where a display server is named, elsewhere always', () => {
    expect(hasDisplay({}, 'linux')).toBe(false);
    expect(hasDisplay({ DISPLAY: '' }, 'linux')).toBe(false);
    expect(hasDisplay({ DISPLAY: ':0' }, 'linux')).toBe(true);
    expect(hasDisplay({ WAYLAND_DISPLAY: 'wayland-0' }, 'linux')).toBe(true);
    expect([hasDisplay({}, 'darwin'), hasDisplay({}, 'win32')]).toEqual([true, true]);
  });

  it('runs without the sandbox as root only', () => {
    expect(browserArguments('L', 'P', false)).not.toContain('--no-sandbox');
    expect(browserArguments('L', 'P', true)).toContain('--no-sandbox');
    expect(browserArguments('L', 'P', false)).toEqual(
      expect.arrayContaining(['--app=L', '--user-data-dir=P', '--no-first-run']),
    );
    expect(desktopArguments('/r', true, false)).toEqual(['/r', '--sample']);
    expect(desktopArguments('/r', false, true)).toEqual(['--no-sandbox', '/r']);
  });
});

describe('the browser', () => {
  const search = (platform: NodeJS.Platform, environment: Record<string, string>, ...there: string[]) =>
    findBrowser({ environment, platform, homedir: '/home/a', canRun: (path) => there.includes(path) });

  it('is found on the PATH, by the order of our list', () => {
    const environment = { PATH: '/a:/b::relative' };
    expect(search('linux', environment, '/a/google-chrome', '/b/chromium')).toEqual({
      kind: 'found',
      path: '/b/chromium',
    });
    expect(search('linux', environment, 'relative/chromium')).toEqual({ kind: 'none' });
    expect(search('linux', {})).toEqual({ kind: 'none' });
  });

  it('is found in the usual places of macOS and Windows', () => {
    const app = '/home/a/Applications/Google Chrome.app/Contents/MacOS/Google Chrome';
    expect(search('darwin', {}, app)).toEqual({ kind: 'found', path: app });
    const edge = 'C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe';
    expect(search('win32', { 'ProgramFiles(x86)': 'C:\\Program Files (x86)' }, edge)).toEqual({
      kind: 'found',
      path: edge,
    });
  });

  it('is the one that LANEBENCH_BROWSER names, or none', () => {
    const environment = { PATH: '/a', LANEBENCH_BROWSER: 'mine' };
    expect(search('linux', environment, '/a/mine', '/a/chromium')).toEqual({
      kind: 'found',
      path: '/a/mine',
    });
    expect(search('linux', environment, '/a/chromium')).toEqual({ kind: 'misnamed', named: 'mine' });
    expect(search('linux', { LANEBENCH_BROWSER: '/x/y' }, '/x/y')).toEqual({ kind: 'found', path: '/x/y' });
    expect(search('linux', { PATH: '/a', LANEBENCH_BROWSER: 'none' }, '/a/chromium')).toEqual({
      kind: 'unwanted',
    });
  });
});

describe('the options', () => {
  it('are read', () => {
    expect(readOptions([])).toEqual({ ok: true, value: { desktop: false, sample: false, help: false } });
    expect(readOptions(['--sample', '--desktop'])).toMatchObject({ value: { desktop: true, sample: true } });
    expect(HELP).toContain('--sample');
  });

  it.each([['--nothing'], ['folder'], ['--sample=3']])('%s is refused with a sentence', (argument) => {
    const read = readOptions([argument]);
    expect(read.ok).toBe(false);
    if (!read.ok) expect(read.error).toContain('--help');
  });
});

describe('an unfit Node', () => {
  it('is named with what to do; a fit one is not', () => {
    expect(nodeFault({ node: '20.20.0', napi: '9' })).toMatch(
      /needs Node 24 or newer; this is Node 20\.20\.0/,
    );
    expect(nodeFault({ node: '24.0.0', napi: '10' })).toBeNull();
    expect(nodeFault({ node: '30.0.0', napi: '11' })).toBeNull();
    expect(nodeFault({})).not.toBeNull();
  });
});

describe('start', () => {
  const said: string[] = [];
  const run = (args: string[], environment: Record<string, string>) =>
    start({
      args,
      environment: { LANEBENCH_HOME: home, ...environment },
      root,
      version: '1.2.3',
      openLab: () => Promise.reject(Object.assign(new Error(), { says: 'No lab here.', todo: 'Try.' })),
      say: (line) => said.push(line),
      signal: new AbortController().signal,
    });
  beforeEach(() => {
    said.length = 0;
  });

  it('helps, and refuses what it does not know', async () => {
    expect([await run(['--help'], {}), said.join()]).toEqual([0, HELP]);
    expect(await run(['--what'], {})).toBe(2);
  });

  it('for the desktop needs a display, or a runtime that can be fetched, and says so', async () => {
    if (process.platform === 'linux') {
      expect(await run(['--desktop'], {})).toBe(1);
      expect(said.join()).toContain('needs a display');
    }
    const mirror = `http://127.0.0.1:${await closedPort()}/`;
    expect(await run(['--desktop'], { DISPLAY: ':9', ELECTRON_MIRROR: mirror })).toBe(1);
    expect(said.join()).toContain('cannot be fetched');
  });

  it.skipIf(process.platform === 'win32')(
    'falls back to a browser or link where the desktop does not start',
    async () => {
      const environment = {
        DISPLAY: ':9',
        LANEBENCH_BROWSER: 'none',
        ELECTRON_OVERRIDE_DIST_PATH: join(root, 'mine'),
      };
      write('mine/electron', '#!/bin/sh\nexit 3\n');
      chmodSync(join(root, 'mine/electron'), 0o755);
      for (const file of ['out/main/main.js', 'out/main/filmworker.js', 'out/preload/preload.cjs'])
        write(file, '');
      write('out/built-from.txt', sourceHash(root));
      expect(await run([], environment)).toBe(1);
      expect(said).toEqual([
        'Opening the desktop window: the Electron runtime is installed.',
        'The desktop window did not start (see above); using a browser instead.',
        'No lab here. Try.',
      ]);
      expect(await run(['--desktop'], environment)).toBe(1);
      expect(said.at(-1)).toContain('"npm start" opens the same app');
    },
  );
});
