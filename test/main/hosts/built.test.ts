/** The build as it is shipped: made anew beside the project, its main process run under Node with the real lab. */
import { execFile } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const run = promisify(execFile);
const project = fileURLToPath(new URL('../../..', import.meta.url));

describe('the build', () => {
  let root: string;
  let home: string;

  beforeAll(async () => {
    root = mkdtempSync(join(tmpdir(), 'lanebench-built-'));
    home = join(root, 'home');
    for (const name of ['node_modules', 'sample-sessions'])
      symlinkSync(join(project, name), join(root, name), 'junction');
    const builder = join(project, 'node_modules', 'electron-vite', 'bin', 'electron-vite.js');
    const args = [builder, 'build', '--config', 'electron.config.ts', '--outDir', join(root, 'out')];
    await run(process.execPath, args, { cwd: project });
  }, 120_000);
  afterAll(() => rmSync(root, { recursive: true, force: true }));

  it('holds the preload that main names, as one script that needs Electron only', () => {
    const preload = readFileSync(join(root, 'out', 'preload', 'preload.cjs'), 'utf8');
    const needs = [...preload.matchAll(/require\(\s*["'`]([^"'`]+)["'`]\s*\)/g)].map(([, name]) => name);
    expect([...new Set(needs)]).toEqual(['electron']);
    expect(preload).not.toMatch(/^import\b/m);
  });

  it('never loads the Electron package to find out whether it is there', () => {
    expect(readFileSync(join(root, 'out', 'main', 'main.js'), 'utf8')).not.toMatch(/require\(["'`]electron/);
  });

  it('opens the lab, shows the screens, carries calls and ends', async () => {
    const drive = fileURLToPath(new URL('drive-built.ts', import.meta.url));
    const args = [drive, join(root, 'out', 'main', 'main.js'), '--sample'];
    const { stdout } = await run(process.execPath, args, { env: { ...process.env, LANEBENCH_HOME: home } });
    expect(JSON.parse(stdout.trim().split('\n').at(-1) ?? '')).toMatchObject({
      loaded: ['lanebench://app/#/day/1'],
      preload: true,
      errors: [],
      describe: { ok: true, value: { labFolder: home, sample: { available: true, day: 1 } } },
      badInput: { ok: false, error: { code: 'bad_input' } },
      page: 200,
      inlineScripts: false,
      script: 200,
      film: 404,
    });
    expect(existsSync(join(home, 'open.json'))).toBe(false);
  });
});
