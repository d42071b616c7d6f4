/** A lab folder backed up by the command line, brought up to date, and restored: the same dataset, byte for byte. */
import { mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test, vi } from 'vitest';
import { runBackup, runRestore } from '../../../main/cli/backup.ts';
import type { Terminal } from '../../../main/cli/terminal.ts';
import { buildDay, readFolder, tempFolder } from '../files/day-builder.ts';
import { benchLab } from '../lab/benchlab.ts';
import { oldLab } from '../lab/oldlabs.ts';
import { here, lanebench, looksLikeAFault, type Ran } from './run.ts';

const inLab = (home: string, ...args: string[]): Promise<Ran> =>
  lanebench(args, { env: { ...process.env, LANEBENCH_HOME: home } });

/** The day folder and dataset of a day with marks and decisions, as the program writes them, by path. */
async function datasetOf(home: string): Promise<ReadonlyMap<string, string>> {
  const { ask, lab } = await benchLab(undefined, home);
  const out = await tempFolder();
  await ask('places.allow', { path: out });
  let job = await ask('days.dataset', { day: 1, path: out });
  while (job.state === 'running') {
    await new Promise((resolve) => setTimeout(resolve, 20));
    job = await ask('jobs.get', { job: job.job });
  }
  expect(job.error).toBeNull();
  await lab.close();
  return readFolder(join(out, 'harbour-morning'));
}

test(
  'a backup is made, brought up to date and restored to the same dataset',
  { timeout: 240_000 },
  async () => {
    const home = await oldLab('store-3');
    const place = await tempFolder();
    const to = join(place, 'stick', 'lab');
    const first = await inLab(home, 'backup', to);
    expect(looksLikeAFault(first)).toBe(false);
    expect([first.status, first.stderr]).toEqual([0, '']);
    expect(first.stdout).toMatch(/^\d+ files, [\d.]+ [kM]B, read back and equal\. The backup is /);
    expect((await inLab(home, 'open', await buildDay())).status).toBe(0);
    const second = await inLab(home, 'backup', to, '--full');
    expect([second.status, second.stderr]).toEqual([0, '']);
    expect(second.stdout).toMatch(/read back and equal\. \d+ files it had already\./);

    const restored = join(place, 'restored');
    const back = await inLab(home, 'restore', to, '--home', restored);
    expect([back.status, back.stderr]).toEqual([0, '']);
    expect(back.stdout).toMatch(
      /^3 days, \d+ files, [\d.]+ [kM]B, restored to .*restored, read back and equal\.\n$/,
    );
    const [before, after] = [await datasetOf(home), await datasetOf(restored)];
    expect(before.size).toBeGreaterThan(10);
    expect(after).toEqual(before);
    expect((await inLab(restored, 'verify')).status).toBe(0);
  },
);

test('wrong usage, nothing to copy and places that are taken are told', { timeout: 240_000 }, async () => {
  const home = await oldLab('store-3');
  const place = await tempFolder();
  const taken = join(place, 'taken');
  mkdirSync(taken);
  writeFileSync(join(taken, 'mine'), 'x');
  const status = async (run: (terminal: Terminal) => Promise<number>) => {
    const ran = await here(run);
    expect(looksLikeAFault(ran)).toBe(false);
    return ran.status;
  };
  vi.stubEnv('LANEBENCH_HOME', home);
  onTestFinished(() => {
    vi.unstubAllEnvs();
  });
  const fresh = join(place, 'new');
  expect((await inLab(home, 'backup')).status).toBe(2);
  expect(await status((terminal) => runBackup(taken, false, terminal))).toBe(2);
  expect(await status((terminal) => runBackup(join(home, 'inside'), false, terminal))).toBe(2);
  expect(readdirSync(taken)).toEqual(['mine']);
  expect((await inLab(home, 'restore', home)).status).toBe(2);
  expect(await status((terminal) => runRestore(home, taken, terminal))).toBe(2);
  expect(await status((terminal) => runRestore(join(place, 'nowhere'), fresh, terminal))).toBe(1);
  vi.stubEnv('LANEBENCH_HOME', join(place, 'no-lab'));
  expect(await status((terminal) => runBackup(fresh, false, terminal))).toBe(1);
  expect(readdirSync(place)).toEqual(['taken']);
});
