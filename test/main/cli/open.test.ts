/** `lanebench open`: exit statuses, and what of a swimmer without consent reaches the lab folder. */
import { createHash } from 'node:crypto';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { append, buildDay, tempFolder, traceText } from '../files/day-builder.ts';
import { lanebench, looksLikeAFault } from './run.ts';

async function open(day: string, home: string) {
  const ran = await lanebench(['open', day], { env: { ...process.env, LANEBENCH_HOME: home } });
  expect(looksLikeAFault(ran), ran.stderr).toBe(false);
  return ran;
}

describe('open', () => {
  it('0, again 0; 3 where input was refused; 1 where there is no day', async () => {
    const root = await tempFolder();
    const home = join(root, 'lab');
    const day = await buildDay({}, join(root, 'day'));
    const first = await open(day, home);
    expect(first.status, first.stderr).toBe(0);
    expect(first.stdout).toMatch(/small-day: 2 trials/);
    expect((await open(day, home)).status).toBe(0);
    const faulty = await buildDay(
      { 'events.csv': append('T1,left,9,splash,7,trace,,R1') },
      join(root, 'faulty'),
    );
    expect((await open(faulty, home)).status).toBe(3);
    const nowhere = await open(join(root, 'nowhere'), home);
    expect(nowhere.status).toBe(1);
    expect(nowhere.stderr).toMatch(/\.\n$/);
  }, 40_000);

  it('neither stores the trace of a swimmer without consent nor records a code of theirs', async () => {
    const root = await tempFolder();
    const home = join(root, 'lab');
    const theirs = `${traceText()}99,1,2\n`;
    const day = await buildDay(
      {
        'roster.csv': append('Qz7,male,2002,183,78.2,171,172,2,withdrawn,'),
        'trials.csv': append('Qz7-1,Qz7,1,sprint,traces/Qz7-1.csv,,,,1,6.5,video,0.006,recorded,'),
        'traces/Qz7-1.csv': theirs,
      },
      join(root, 'day'),
    );
    const ran = await open(day, home);
    expect(ran.status, ran.stderr).toBe(0);
    expect(ran.stdout).toMatch(/Left out for consent: swimmers 1, trials 1/);
    expect(ran.stdout + ran.stderr).not.toContain('Qz7');
    const digest = createHash('sha256').update(theirs).digest('hex');
    const files = (await readdir(home, { recursive: true, withFileTypes: true })).filter((entry) =>
      entry.isFile(),
    );
    expect(files.length).toBeGreaterThan(5);
    for (const { parentPath, name } of files) {
      expect(digest).not.toContain(name);
      if (!parentPath.startsWith(join(home, 'raw')))
        expect((await readFile(join(parentPath, name))).includes('Qz7'), name).toBe(false);
    }
  }, 40_000);
});
