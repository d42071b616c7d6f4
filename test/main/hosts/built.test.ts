/** The build as it is shipped: made anew beside the project, its main process run under Node with the real lab. */
import { execFile } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import BetterSqlite from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openLab } from '../../../main/lab/lab.ts';
import { MIGRATIONS } from '../../../main/store/migrations.ts';
import { oldLab } from '../lab/oldlabs.ts';
import { NO_DISK, tinyDisk } from '../store/support.ts';

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

  /** Starts the build on a lab folder; gives what a person who looks around and tries to decide meets. */
  async function lookAround(folder: string) {
    const drive = fileURLToPath(new URL('drive-built.ts', import.meta.url));
    const trial = { day: 1, trial: 'P01-1' };
    const decided = { ...trial, seen: 'accepted', status: 'excluded', reason: 'a reason' };
    const { stdout } = await run(process.execPath, [drive, join(root, 'out', 'main', 'main.js')], {
      env: {
        ...process.env,
        LANEBENCH_HOME: folder,
        DRIVE_CALLS: JSON.stringify([
          ['days.list', {}],
          ['trials.get', trial],
          ['trials.decide', decided],
          ['history.undo', { day: 1 }],
          ['app.setOperator', { operator: 'KL' }],
          ['places.allow', { path: tmpdir() }],
        ]),
        DRIVE_FETCH: '/samples/1/P01-1/left',
      },
    });
    return JSON.parse(stdout.trim().split('\n').at(-1) ?? '') as {
      readonly asked: readonly { readonly ok: boolean; readonly error?: { readonly says: string } }[];
    };
  }

  const SHOWN = [
    {
      ok: true,
      value: [
        { day: 'deck-1', fault: null },
        { day: 'harbour-morning', fault: null, trials: 2 },
      ],
    },
    { ok: true, value: { trial: 'P01-1', evidence: [] } },
  ];

  function expectLookedAt(met: Awaited<ReturnType<typeof lookAround>>, why: RegExp): void {
    expect(met).toMatchObject({ errors: [], page: 200 });
    expect(met.asked.slice(0, 2)).toMatchObject(SHOWN);
    expect(met).toHaveProperty(
      'describe.value.notices',
      expect.arrayContaining([
        expect.objectContaining({ says: expect.stringMatching(why) as string, note: null }),
      ]),
    );
    expect((met as { fetched?: number }).fetched).toBeGreaterThan(8_000);
    for (const act of met.asked.slice(2)) {
      expect(act.ok).toBe(false);
      expect(act.error?.says).toMatch(why);
    }
  }

  it('shows the days and trials of a lab folder on a read-only disk, and says why no act is taken', async (context) => {
    const disk = tinyDisk(64 << 20);
    if (disk === null) return context.skip(NO_DISK);
    cpSync(await oldLab('store-3'), disk.folder, { recursive: true });
    // Once by the program of today, so that the database is of its version.
    await (await openLab({ home: disk.folder, sampleFolder: null, version: '1.2.3' })).close();
    disk.makeReadOnly();
    expectLookedAt(await lookAround(disk.folder), /can be read but not written/);
  });

  it('shows those of a lab folder of a newer program, and leaves it as it is', async () => {
    const newer = await oldLab('store-3');
    await (await openLab({ home: newer, sampleFolder: null, version: '1.2.3' })).close();
    const file = join(newer, 'lab.sqlite');
    const db = new BetterSqlite(file);
    db.pragma(`user_version = ${MIGRATIONS.length + 1}`);
    db.close();
    const before = readFileSync(file);
    expectLookedAt(await lookAround(newer), /newer/);
    expect(readFileSync(file).equals(before)).toBe(true);
  });
});
