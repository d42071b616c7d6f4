/** The desktop window in the real Electron, where its runtime is installed; elsewhere reported as skipped. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { _electron, type ElectronApplication, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ensureBuilt } from '../../main/start/build.ts';
import { desktopArguments } from '../../main/start/electron.ts';
import { hasDisplay } from '../../main/start/host.ts';
import { findElectron } from '../../main/start/runtime.ts';

const root = fileURLToPath(new URL('../..', import.meta.url)).replace(/[\\/]$/, '');
const electron = findElectron(root, process.env);
const runnable = electron !== null && hasDisplay(process.env, process.platform);

describe.skipIf(!runnable)('the desktop window (needs the Electron runtime and a display)', () => {
  let home: string;
  let running: ElectronApplication;
  let page: Page;

  beforeAll(async () => {
    home = mkdtempSync(join(tmpdir(), 'lanebench-electron-'));
    expect(await ensureBuilt(root, () => {})).toBeNull();
    running = await _electron.launch({
      executablePath: electron ?? '',
      args: desktopArguments(root, true, process.getuid?.() === 0),
      env: { ...(process.env as Record<string, string>), LANEBENCH_HOME: home },
    });
    page = await running.firstWindow();
  });
  afterAll(async () => {
    await running?.close();
    rmSync(home, { recursive: true, force: true });
  });

  it('shows the sample day by its own scheme', async () => {
    await page.waitForURL('lanebench://app/#/day/1');
    expect(await page.title()).toContain('Lanebench');
  });

  it('gives the page one function and nothing of Node', async () => {
    const seen = await page.evaluate(async () => {
      const bridge = (
        globalThis as unknown as { lanebench: { call: (n: string, i: unknown) => Promise<unknown> } }
      ).lanebench;
      return {
        bridge: Object.keys(bridge),
        node: ['require', 'process', 'module', 'Buffer'].filter((name) => name in globalThis),
        days: await bridge.call('days.list', {}),
      };
    });
    expect(seen).toMatchObject({ bridge: ['call'], node: [], days: { ok: true } });
  });

  it('plays a film in ranges and goes nowhere else', async () => {
    const seen = await page.evaluate(async () => {
      const bridge = (
        globalThis as unknown as { lanebench: { call: (n: string, i: unknown) => Promise<unknown> } }
      ).lanebench;
      const day = (await bridge.call('days.get', { day: 1 })) as {
        value: { trials: { trial: string; hasFilm: boolean }[] };
      };
      const trial = day.value.trials.find((one) => one.hasFilm)?.trial;
      const part = await fetch(`/film/1/${trial}/A`, { headers: { range: 'bytes=0-9' } });
      const away = await fetch('https://example.com/').then(
        () => 'out',
        () => 'kept in',
      );
      return {
        status: part.status,
        bytes: (await part.arrayBuffer()).byteLength,
        away,
        opened: window.open('https://example.com/'),
      };
    });
    expect(seen).toEqual({ status: 206, bytes: 10, away: 'kept in', opened: null });
  });
});
