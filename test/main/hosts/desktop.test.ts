/**
 * The desktop host, item by item of Electron's security checklist (electronjs.org, "Security", 20 recommendations).
 * Items 16 (current version) and 19 (fuses, set when a package is made) are not code of this host.
 */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setImmediate as turn } from 'node:timers/promises';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import '../../../main/desktop/preload.ts';
import { runShell } from '../../../main/desktop/shell.ts';
import { LOCK_FILE } from '../../../main/lab/lock.ts';
import {
  app,
  BrowserWindow,
  dialog,
  happening,
  ipcMain,
  Menu,
  page,
  protocol,
  resetElectron,
  schemes,
  screen,
  session,
  world,
} from './fake-electron.ts';
import { fakeLab, fakeRoot, type FakeLab } from './fake-lab.ts';

let lab: FakeLab;
let root: string;
let home: string;
let remove: () => void;

beforeEach(() => {
  resetElectron();
  ({ root, home, remove } = fakeRoot());
  lab = fakeLab(root);
  vi.spyOn(console, 'error').mockImplementation(() => {});
  vi.spyOn(console, 'log').mockImplementation(() => {});
});
afterEach(() => {
  vi.restoreAllMocks();
  remove();
});

async function open(sample = false): Promise<BrowserWindow> {
  await runShell({ root, home, version: '1.2.3', sample, openLab: async () => lab });
  const [window] = BrowserWindow.all;
  if (window === undefined) throw new Error('There is no window.');
  return window;
}

async function quit(): Promise<void> {
  const ended = new Promise((resolve) => app.once('quit', resolve));
  app.quit();
  await ended;
}

describe("Electron's security checklist", () => {
  it('1, 18: loads nothing but the app, by its own scheme', async () => {
    const window = await open();
    expect(window.loaded).toEqual(['lanebench://app/']);
    expect(schemes).toEqual([
      {
        scheme: 'lanebench',
        privileges: { standard: true, secure: true, supportFetchAPI: true, stream: true },
      },
    ]);
    const cancelled = (url: string) => {
      let verdict = false;
      session.defaultSession.before?.({ url }, ({ cancel }) => (verdict = cancel));
      return verdict;
    };
    const elsewhere = [
      'http://a.example/',
      'https://a.example/',
      'ws://a.example/',
      'file:///etc/passwd',
      'ftp://a.example/',
    ];
    expect(elsewhere.filter((url) => !cancelled(url))).toEqual([]);
    expect(['lanebench://app/film/1/T1/A', 'blob:lanebench://app/x', 'data:,x'].filter(cancelled)).toEqual(
      [],
    );
    for (const url of ['lanebench://other/', 'lanebench://app.example/', 'lanebench://app:1/']) {
      const status = await protocol.fetch(new Request(url)).then(
        (answer) => answer.status,
        () => 404,
      );
      expect([url, status]).toEqual([url, 404]);
    }
  });

  it('2, 3, 4, 6, 8, 9, 10, 11: gives the page no Node, its own context, the sandbox and web security', async () => {
    const window = await open();
    const { preload, ...preferences } = window.options.webPreferences;
    expect(preferences).toEqual({
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      nodeIntegrationInWorker: false,
      nodeIntegrationInSubFrames: false,
      webSecurity: true,
      allowRunningInsecureContent: false,
      experimentalFeatures: false,
      webviewTag: false,
    });
    expect(preload).toBe(join(root, 'out', 'preload', 'preload.cjs'));
    expect(app.sandboxed).toBe(true);
  });

  it('5: grants no permission or device, and no download but of a certificate', async () => {
    await open();
    const answers: boolean[] = [];
    for (const permission of [
      'media',
      'geolocation',
      'notifications',
      'clipboard-read',
      'openExternal',
      'serial',
    ]) {
      session.defaultSession.request?.({}, permission, (yes) => answers.push(yes));
    }
    expect(answers).toEqual(Array(6).fill(false));
    const checked = (permission: string) => session.defaultSession.check?.(null, permission);
    expect([checked('media'), checked('clipboard-read'), session.defaultSession.device?.()]).toEqual([
      false,
      false,
      false,
    ]);
    expect(checked('clipboard-sanitized-write')).toBe(true);
    const downloaded = (url: string) => {
      const download = happening();
      session.defaultSession.emit('will-download', download, { getURL: () => url });
      return !download.prevented;
    };
    expect(downloaded('lanebench://app/film/1/T1/A')).toBe(false);
    expect(downloaded('https://a.example/certificate/1.pdf')).toBe(false);
    expect(downloaded('blob:https://a.example/1')).toBe(false);
    expect(downloaded('lanebench://app/certificate/1.pdf')).toBe(true);
    expect(downloaded('blob:lanebench://app/1')).toBe(true);
  });

  it('7: sends a content security policy with every page', async () => {
    await open();
    const answer = await protocol.fetch(new Request('lanebench://app/'));
    expect(answer.headers.get('content-security-policy')).toContain("default-src 'self'");
  });

  it('12, 13, 14, 15: attaches no webview, goes nowhere, opens no window and nothing outside', async () => {
    const { webContents } = await open();
    const prevented = (name: string, url: string) => {
      const event = happening(url);
      webContents.emit(name, event);
      return event.prevented;
    };
    const away = [
      'https://a.example/',
      'file:///etc/passwd',
      'lanebench://other/',
      'lanebench://app.example/',
      'lanebench://app/film/1/T1/A',
      'lanebench://app/?x',
      'javascript:alert(1)',
      'data:text/html,x',
      'not an address',
    ];
    for (const name of ['will-navigate', 'will-frame-navigate', 'will-redirect']) {
      expect(away.filter((url) => !prevented(name, url))).toEqual([]);
      expect(prevented(name, 'lanebench://app/#/day/3')).toBe(false);
    }
    expect(prevented('will-attach-webview', '')).toBe(true);
    for (const url of [
      'lanebench://app/',
      'https://a.example/certificate/1.html',
      'lanebench://app/certificate/../x',
    ])
      expect(webContents.windowOpen({ url })).toEqual({ action: 'deny' });
    expect(webContents.windowOpen({ url: 'lanebench://app/certificate/7.html' })).toMatchObject({
      action: 'allow',
      overrideBrowserWindowOptions: {
        webPreferences: { sandbox: true, contextIsolation: true, nodeIntegration: false },
      },
    });
  });

  it('17: answers one channel, and there the top frame of the app only', async () => {
    await open();
    expect(ipcMain.channels()).toEqual(['lanebench:call']);
    const call = () =>
      world.get('lanebench')!['call']!('days.list', {}).then(
        () => 'in',
        () => 'refused',
      );
    const frames = [
      null,
      { url: 'https://a.example/', parent: null },
      { url: 'lanebench://other/', parent: null },
      { url: 'lanebench://app.example/', parent: null },
      { url: 'file:///lanebench://app/', parent: null },
      { url: '', parent: null },
      { url: 'lanebench://app/', parent: {} },
    ];
    for (const frame of frames) {
      page.frame = frame;
      expect([frame, await call()]).toEqual([frame, 'refused']);
    }
    expect(lab.carried).toEqual([]);
    page.frame = { url: 'lanebench://app/#/day/1', parent: null };
    expect(await call()).toBe('in');
  });

  it('17: takes names of the contract only, and only text', async () => {
    await open();
    for (const name of [
      'none',
      'toString',
      7,
      null,
      undefined,
      ['days.list'],
      { toString: () => 'days.list' },
    ]) {
      await expect(
        Promise.resolve().then(() => world.get('lanebench')!['call']!(name, {})),
      ).rejects.toThrow();
    }
    expect(lab.carried).toEqual([]);
  });

  it('20: shows the page one function and nothing of Electron', () => {
    expect([...world.keys()]).toEqual(['lanebench']);
    expect(Object.keys(world.get('lanebench') ?? {})).toEqual(['call']);
  });
});

describe('the one window', () => {
  it('ends at once where the program runs already, and lets the first window come forward', async () => {
    const window = await open();
    app.emit('second-instance');
    expect(window.did).toEqual(['restore', 'focus']);
    await quit();

    resetElectron();
    app.first = false;
    await runShell({ root, home, version: '1.2.3', sample: false, openLab: async () => lab });
    expect([BrowserWindow.all.length, app.quits]).toEqual([0, 1]);
  });

  it('keeps to one program per lab folder, whichever host has it open', async () => {
    const door = { port: 9, key: 'k'.repeat(43) };
    writeFileSync(
      join(home, LOCK_FILE),
      JSON.stringify({ pid: process.ppid, since: new Date().toISOString(), door }),
    );
    await runShell({ root, home, version: '1.2.3', sample: false, openLab: async () => lab });
    expect([BrowserWindow.all.length, app.exits]).toEqual([0, [0]]);
    expect(dialog.errors.join()).toContain(
      `already open on the lab folder ${home} (process ${process.ppid})`,
    );
    expect(existsSync(join(home, LOCK_FILE))).toBe(true);
  });

  it('says in a sentence why the lab does not open, and lets the folder go', async () => {
    const openLab = async () =>
      Promise.reject({ code: 'lab_folder', says: 'The database is newer.', todo: 'Update.' });
    await runShell({ root, home, version: '1.2.3', sample: false, openLab });
    expect([dialog.errors, app.exits]).toEqual([
      ['Lanebench cannot open: The database is newer. Update.'],
      [1],
    ]);
    expect(existsSync(join(home, LOCK_FILE))).toBe(false);
  });

  it('opens at the sample day where asked', async () => {
    expect((await open(true)).loaded).toEqual(['lanebench://app/#/day/7']);
  });

  it('closes the lab before the process ends, once, and lets the folder go', async () => {
    await open();
    expect(existsSync(join(home, LOCK_FILE))).toBe(true);
    app.emit('window-all-closed');
    await new Promise((resolve) => app.once('quit', resolve));
    expect([lab.closings(), existsSync(join(home, LOCK_FILE))]).toEqual([1, false]);
  });

  it('keeps its place in the lab folder', async () => {
    await open();
    await quit();
    expect(JSON.parse(readFileSync(join(home, 'window.json'), 'utf8'))).toEqual({
      x: 40,
      y: 50,
      width: 1000,
      height: 700,
      maximized: false,
    });
    resetElectron();
    const window = await open();
    expect(window.options).toMatchObject({ x: 40, y: 50, width: 1000, height: 700 });
    await quit();
    expect(app.paths.get('userData')).toBe(join(home, 'desktop'));
  });

  it('is said to have stopped or not to answer, with a way on', async () => {
    const window = await open();
    window.webContents.emit('render-process-gone', {}, { reason: 'crashed' });
    await turn();
    expect([dialog.asked, window.webContents.reloads]).toEqual([['The screens have stopped (crashed).'], 1]);
    dialog.answer = 1;
    window.emit('unresponsive');
    await turn();
    expect([dialog.asked[1], window.webContents.reloads]).toEqual(['The screens do not answer.', 1]);
    window.webContents.emit('render-process-gone', {}, { reason: 'clean-exit' });
    await turn();
    expect(dialog.asked).toHaveLength(2);
  });

  it('has a menu of editing, zoom and window entries; none reloads or inspects', async () => {
    await open();
    const roles = JSON.stringify(Menu.template);
    expect(roles).toContain('editMenu');
    expect(roles).toContain('zoomIn');
    for (const role of ['reload', 'forceReload', 'toggleDevTools', 'viewMenu', 'help'])
      expect(roles).not.toContain(`"${role}"`);
  });

  it('opens in the usual place where the file of its place is broken', async () => {
    mkdirSync(home, { recursive: true });
    writeFileSync(join(home, 'window.json'), '{"x":');
    const window = await open();
    expect(window.options).toMatchObject({ width: 1360, height: 900 });
    expect(window.options['x']).toBeUndefined();
    expect(screen.getAllDisplays()).toHaveLength(1);
  });
});
