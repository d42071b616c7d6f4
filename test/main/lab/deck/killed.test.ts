/**
 * A dataset, an exported day or a backup that is killed while it is written leaves nothing in its place, is cleared up at
 * the next start of the program, and never blocks the next try.
 */
import { spawn } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { benchLab } from '../benchlab.ts';
import { oldLab } from '../oldlabs.ts';
import { NODE } from '../../cli/run.ts';
import { tempFolder } from '../../files/day-builder.ts';

const PROGRAM = join(import.meta.dirname, 'closing-killed.ts');

/** Begins the work in a program of its own and kills it as soon as something of it lies in the place. */
async function killed(home: string, call: string, place: string): Promise<void> {
  const child = spawn(process.execPath || NODE, [PROGRAM, home, call, place], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  onTestFinished(() => void child.kill('SIGKILL'));
  const ended = new Promise((resolve) => child.once('close', resolve));
  while (child.exitCode === null && readdirSync(place).length === 0)
    await new Promise((resolve) => setTimeout(resolve, 2));
  child.kill('SIGKILL');
  await ended;
}

test.each([
  ['days.dataset', 1, 'harbour-morning'],
  ['days.export', 1, 'day'],
  ['deck.backup', 2, 'lanebench-backup-'],
] as const)('%s', { timeout: 120_000 }, async (call, day, name) => {
  const home = await oldLab('store-3');
  const place = await tempFolder();
  const first = await benchLab(undefined, home);
  await first.ask('places.allow', { path: place });
  await first.ask('days.list', {});
  await first.lab.close();
  await killed(home, call, place);
  const left = readdirSync(place);
  expect(left).toHaveLength(1);
  expect(left[0]).toMatch(/lanebench-new-\d+-[0-9a-f]{8}$|\.unfinished-\d+-/);
  const { ask } = await benchLab(undefined, home);
  expect(readdirSync(place)).toEqual([]);
  expect(readdirSync(join(home, 'writing'))).toEqual([]);
  if (call === 'days.export') {
    await ask(call, { day, path: join(place, name), films: 'none' });
    expect(readdirSync(place)).toEqual([name]);
    expect(existsSync(join(place, name, 'trials.csv'))).toBe(true);
    return;
  }
  let job = await ask(call, { day, path: place });
  while (job.state === 'running') {
    await new Promise((resolve) => setTimeout(resolve, 20));
    job = await ask('jobs.get', { job: job.job });
  }
  expect(job).toMatchObject({ state: 'done', error: null });
  expect(readdirSync(place)).toEqual([expect.stringMatching(new RegExp(`^${name}[^.]*$`))]);
  const made = join(place, readdirSync(place)[0]!);
  expect(existsSync(join(made, call === 'deck.backup' ? 'lab.sqlite' : 'dataset/trials.csv'))).toBe(true);
});
