/** Raw files are held against their hashes when they are used; nothing is written out of what is damaged. */
import {
  chmodSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { benchLab, type BenchLab } from '../benchlab.ts';
import { oldLab } from '../oldlabs.ts';
import { lanebench, looksLikeAFault, SAMPLE } from '../../cli/run.ts';
import { keptDay } from '../../../../main/lab/kept/keptday.ts';
import { trialOutcome } from '../../../../main/lab/kept/outcome.ts';
import type { Session } from '../../../../main/lab/kept/session.ts';
import { testLab, valueOf } from '../support.ts';
import { tempFolder } from '../../files/day-builder.ts';

const TRIAL = { day: 1, trial: 'P01-1' };

/** The lab's copy of a file of the first day. */
async function rawFile(home: string, { ask }: BenchLab, file: string): Promise<string> {
  const { inputs } = await ask('trials.get', TRIAL);
  const { sha256 } = inputs.find((input) => input.file === file)!;
  return join(home, 'raw', sha256.slice(0, 2), sha256.slice(2));
}

/** Changes one byte in the middle, as a disk might. */
function flipByte(path: string): void {
  chmodSync(path, 0o644);
  const bytes = readFileSync(path);
  const at = Math.floor(bytes.length / 2);
  bytes[at] = bytes[at]! ^ 1;
  writeFileSync(path, bytes);
}

/** A lab with its first numbers kept, and where the trial's trace lies; `break` breaks it, then the lab is opened. */
async function broken(
  damage: (path: string) => void,
): Promise<BenchLab & { readonly home: string; readonly path: string }> {
  const home = await oldLab('store-3');
  const first = await benchLab(undefined, home);
  await first.ask('days.list', {});
  await first.ask('days.get', { day: 1 });
  const path = await rawFile(home, first, 'traces/P01-1.csv');
  await first.lab.close();
  damage(path);
  return { ...(await benchLab(undefined, home)), home, path };
}

describe.each([
  [
    'with one changed byte',
    flipByte,
    /^traces\/P01-1\.csv is damaged: its content is no longer what came in/,
  ],
  [
    'cut short',
    (path: string) => {
      chmodSync(path, 0o644);
      truncateSync(path, 1000);
    },
    /^traces\/P01-1\.csv is damaged/,
  ],
  ['that is gone', (path: string) => rmSync(path), /^traces\/P01-1\.csv is missing from the lab folder/],
])('a trace %s', (_what, damage, says) => {
  test(
    'is named beside the numbers that rest on it, and nothing is written out of them',
    { timeout: 180_000 },
    async () => {
      const { ask, fault } = await broken(damage);
      const trial = await ask('trials.get', TRIAL);
      expect(trial.evidence.map((one) => one.says).join()).toMatch(says);
      // The numbers were made while the trace was whole: they are shown, marked.
      expect(trial.result.velocity).not.toBeNull();
      const { trials } = await ask('days.get', { day: 1 });
      expect(trials.map(({ evidence }) => evidence.length)).toEqual([1, 0]);
      const out = await tempFolder();
      await ask('places.allow', { path: out });
      const refused = await fault('days.export', { day: 1, path: join(out, 'day'), films: 'none' });
      expect(refused.says).toMatch(/was not written: it rests on damaged evidence\. traces\/P01-1\.csv/);
      let job = await ask('days.dataset', { day: 1, path: out });
      while (job.state === 'running') {
        await new Promise((resolve) => setTimeout(resolve, 20));
        job = await ask('jobs.get', { job: job.job });
      }
      expect(job).toMatchObject({ state: 'failed' });
      expect(job.error?.says).toContain('rests on damaged evidence');
      expect(readdirSync(out)).toEqual([]);
    },
  );
});

test(
  'damage while the program runs is noticed at the next use, though length and time are the same',
  { timeout: 180_000 },
  async () => {
    const home = await oldLab('store-3');
    const lab = await benchLab(undefined, home);
    const path = await rawFile(home, lab, 'traces/P01-1.csv');
    expect((await lab.ask('trials.get', TRIAL)).evidence).toEqual([]);
    const { atime, mtime } = statSync(path);
    flipByte(path);
    utimesSync(path, atime, mtime);
    expect((await lab.ask('trials.get', TRIAL)).evidence).toHaveLength(1);
  },
);

test(
  'a trace that changes between its check and its reading gives no number',
  { timeout: 180_000 },
  async () => {
    const { session, bring, home } = await testLab();
    const id = await bring(SAMPLE);
    expect(session.store.dropResult(id, 'P01-1').ok).toBe(true);
    const trace = valueOf(await keptDay(session, id)).hashes.get('traces/P01-1.csv')!;
    let checks = 0;
    const checkRaw: Session['store']['checkRaw'] = async (sha256, signal) => {
      const state = await session.store.checkRaw(sha256, signal);
      // First the evidence of the trial is looked at, then the trace is found for its reading.
      if (sha256 === trace && ++checks === 2) flipByte(join(home, 'raw', trace.slice(0, 2), trace.slice(2)));
      return state;
    };
    const racing: Session = { ...session, store: { ...session.store, checkRaw } };
    const day = valueOf(await keptDay(racing, id));
    const entry = day.book.trials.find(({ row }) => row.trial === 'P01-1')!;
    const outcome = await trialOutcome(racing, day, entry);
    expect(outcome.evidence.map(({ file }) => file)).toEqual(['traces/P01-1.csv']);
    expect(outcome.trace).toBeNull();
    expect(session.store.getResult(id, 'P01-1')).toBeNull();
  },
);

test(
  'a damaged roster costs its day, named; opening the folder again mends it',
  { timeout: 180_000 },
  async () => {
    const home = await oldLab('store-3');
    const first = await benchLab(undefined, home);
    const path = await rawFile(home, first, 'roster.csv');
    const whole = readFileSync(path);
    await first.lab.close();
    flipByte(path);
    const { ask } = await benchLab(undefined, home);
    const days = await ask('days.list', {});
    expect(days.find(({ id }) => id === 1)?.fault?.says).toContain('roster.csv is damaged');
    expect(days.find(({ id }) => id === 2)?.fault).toBeNull();
    chmodSync(path, 0o644);
    writeFileSync(path, whole);
    expect((await ask('days.list', {})).map(({ fault }) => fault)).toEqual([null, null]);
  },
);

describe('lanebench verify', () => {
  const verify = (home: string, ...more: string[]) =>
    lanebench(['verify', ...more], { env: { ...process.env, LANEBENCH_HOME: home } });

  test(
    'says that all is as it was recorded; of a flipped byte, one line and 3',
    { timeout: 120_000 },
    async () => {
      const { home, lab, path } = await broken(() => undefined);
      await lab.close();
      const sound = await verify(home);
      expect(sound.stderr).toBe('');
      expect(sound).toMatchObject({ status: 0 });
      expect(sound.stdout).toMatch(/and the database were read through: all is as it was recorded\.\n$/);
      flipByte(path);
      const damaged = await verify(home, '--all');
      expect(damaged.status).toBe(3);
      expect(damaged.stdout.trimEnd().split('\n')).toHaveLength(1);
      expect(damaged.stdout).toMatch(
        /^raw\/[0-9a-f]{2}\/[0-9a-f]{62}: its content is no longer that of its SHA-256 \(.*traces\/P01-1\.csv of day harbour-morning/,
      );
      expect(looksLikeAFault(damaged)).toBe(false);
      expect(await verify(join(home, 'nowhere'))).toMatchObject({ status: 1 });
      expect(await verify(home, 'more')).toMatchObject({ status: 2 });
    },
  );
});

describe('lanebench salvage', () => {
  test(
    'writes what can be read to a new lab folder that opens, with a report',
    { timeout: 120_000 },
    async () => {
      const { home, lab, path } = await broken(flipByte);
      await lab.close();
      const file = join(home, 'lab.sqlite');
      const text = readFileSync(file).toString('latin1').replaceAll('goggles lost', 'goggles lxst');
      const bytes = Buffer.from(text, 'latin1');
      writeFileSync(file, bytes);
      const to = join(await tempFolder(), 'saved');
      const ran = await lanebench(['salvage', home, '--home', to]);
      expect(looksLikeAFault(ran)).toBe(false);
      expect(ran.status).toBe(3);
      expect(ran.stdout).toMatch(/Decision \d+ is not what was recorded; it was left out\./);
      expect(ran.stdout).toMatch(/The raw file [0-9a-f]{12}… is damaged/);
      expect(readFileSync(join(to, 'salvage-report.txt'), 'utf8')).toContain(
        'is not what was recorded; it was left out.',
      );
      expect(readFileSync(file).equals(bytes)).toBe(true);
      const saved = await benchLab(undefined, to);
      const days = await saved.ask('days.list', {});
      expect(days.map(({ day, fault }) => [day, fault])).toEqual([
        ['deck-1', null],
        ['harbour-morning', null],
      ]);
      expect((await saved.ask('app.describe', {})).notices).toEqual([]);
      expect(
        (await saved.ask('trials.get', { day: 1, trial: 'P02-1' })).marking.marks.length,
      ).toBeGreaterThan(0);
      expect(statSync(path).size).toBeGreaterThan(0);
      expect(await lanebench(['salvage', home, '--home', to])).toMatchObject({ status: 1 });
    },
  );
});
