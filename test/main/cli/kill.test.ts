/** SIGKILL at any moment: OUT is as it was or complete, and the next start clears up. */
import { spawn } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { mkdir, readdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { beforeAll, describe, expect, it } from 'vitest';
import { buildDay, readFolder, tempFolder } from '../files/day-builder.ts';
import { LANEBENCH, lanebench, NODE, processHere } from './run.ts';

const OLD = { 'trials.csv': 'old' };
let day = '';
let complete: ReadonlyMap<string, string> = new Map();
let tookMs = 0;
beforeAll(async () => {
  const root = await tempFolder();
  day = await buildDay({}, join(root, 'day'));
  const began = performance.now();
  await lanebench(['process', day, '--out', join(root, 'out')]);
  tookMs = performance.now() - began;
  complete = await readFolder(join(root, 'out'));
}, 180_000);

/** Starts the command and kills it: after a time, or that long after something appears beside OUT. */
async function killed(
  root: string,
  replace: boolean,
  when: { afterMs: number; onSight: boolean },
): Promise<void> {
  const seen = readdirSync(root).length;
  const child = spawn(
    NODE,
    [LANEBENCH, 'process', day, '--out', join(root, 'out'), ...(replace ? ['--replace'] : [])],
    { stdio: 'ignore' },
  );
  const ended = new Promise((resolve) => child.once('exit', resolve));
  while (when.onSight && child.exitCode === null && readdirSync(root).length === seen) await wait(0);
  await wait(when.afterMs);
  child.kill('SIGKILL');
  await ended;
}

/** A moment of each of `count` equal parts of a span: random inside it, spread over it. */
const spread = (count: number, span: number) =>
  Array.from({ length: count }, (_, i) => ((i + Math.random()) / count) * span);

describe('killed', () => {
  it.each([false, true])(
    'at random moments (--replace: %s)',
    async (replace) => {
      const moments = [
        ...spread(3, 1).map((part) => ({ afterMs: part * tookMs, onSight: false })),
        ...spread(4, 12).map((afterMs) => ({ afterMs, onSight: true })),
      ];
      for (const when of moments) {
        const root = await tempFolder();
        if (replace) {
          await mkdir(join(root, 'out'));
          for (const [name, text] of Object.entries(OLD)) await writeFile(join(root, 'out', name), text);
        }
        await killed(root, replace, when);
        const says = `${JSON.stringify(when)} left ${(await readdir(root)).join(' ')}`;
        if ((await readdir(root)).includes('out')) {
          const found = await readFolder(join(root, 'out'));
          if (found.size === 1) expect(Object.fromEntries(found), says).toEqual(OLD);
          else expect(found, says).toEqual(complete);
        } else if (replace) expect(await readdir(root), says).toContain('.out.lanebench-swap');
        const again = await processHere(day, join(root, 'out'), true);
        expect(again.status, `${says}: ${again.stderr}`).toBe(0);
        expect(await readdir(root), says).toEqual(['out']);
        expect(await readFolder(join(root, 'out'))).toEqual(complete);
      }
    },
    40_000,
  );

  it('the next start completes a replacement before it looks at OUT, also without --replace', async () => {
    const root = await tempFolder();
    const fresh = '.out.lanebench-new-4194305';
    for (const name of [fresh, '.out.lanebench-old', '.out.lanebench-new-4194306']) {
      await mkdir(join(root, name));
      await writeFile(join(root, name, 'trials.csv'), name === fresh ? 'new' : 'old');
    }
    await writeFile(join(root, '.out.lanebench-swap'), fresh);
    const ran = await lanebench(['process', day, '--out', join(root, 'out')]);
    expect(ran.status).toBe(2);
    expect(await readdir(root)).toEqual(['out']);
    expect(Object.fromEntries(await readFolder(join(root, 'out')))).toEqual({ 'trials.csv': 'new' });
  });
});
