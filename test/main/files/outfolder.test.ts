/**
 * A folder that appears whole or not at all: every step of a replacement is cut off by SIGKILL in turn, and the next
 * start must find, or make, the old folder or the new one whole.
 */
import { spawn } from 'node:child_process';
import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { isFree, recover, writeFolder, type OutFile } from '../../../main/files/outfolder.ts';
import { readFolder, tempFolder } from './day-builder.ts';

const WRITER = join(import.meta.dirname, 'crashing-writer.ts');
const OLD = { 'a.csv': 'old a', 'gone.txt': 'old only' };
const NEW = { 'a.csv': 'new a', 'b.json': 'new b' };
const GONE_PID = 4_194_305;

const whole = async (folder: string) => Object.fromEntries(await readFolder(folder));

async function fill(folder: string, files: Readonly<Record<string, string>>): Promise<void> {
  await mkdir(folder, { recursive: true });
  for (const [name, text] of Object.entries(files)) await writeFile(join(folder, name), text);
}

/** Runs the writer until it kills itself; gives the number of steps where it came to the end. */
function run(
  out: string,
  task: 'write' | 'recover',
  step: number,
  how: 'clean' | 'torn',
): Promise<number | null> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [WRITER, out, task, String(step), how], {
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    let [said, failed] = ['', ''];
    child.stdout.on('data', (chunk) => (said += String(chunk)));
    child.stderr.on('data', (chunk) => (failed += String(chunk)));
    child.on('close', (code, signal) => {
      if (signal === 'SIGKILL') resolve(null);
      else if (code === 0) resolve(Number(said));
      else reject(new Error(failed));
    });
  });
}

/** After a crash OUT is whole or (between two renames) absent; after the next start it is whole, and nothing is left over. */
async function expectSound(parent: string, says: string): Promise<void> {
  const out = join(parent, 'out');
  const before = await readdir(parent);
  if (before.includes('out'))
    expect([OLD, NEW], `${says}: ${before.join(' ')}`).toContainEqual(await whole(out));
  await recover(out).catch((error: unknown) =>
    expect.fail(`${says}: the next start fails: ${String(error)}`),
  );
  expect(await readdir(parent), says).toEqual(['out']);
  expect([OLD, NEW], says).toContainEqual(await whole(out));
}

describe('a crash at every step', () => {
  it.each(['clean', 'torn'] as const)(
    'of a replacement leaves the old folder or the new one (%s)',
    async (how) => {
      const counter = await tempFolder();
      await fill(join(counter, 'out'), OLD);
      const steps = (await run(join(counter, 'out'), 'write', 0, how))!;
      expect(steps).toBeGreaterThan(8);
      expect(await whole(join(counter, 'out'))).toEqual(NEW);
      const crash = async (step: number) => {
        const parent = await tempFolder();
        await fill(join(parent, 'out'), OLD);
        expect(await run(join(parent, 'out'), 'write', step, how)).toBeNull();
        await expectSound(parent, `${how} step ${step} of ${steps}`);
      };
      for (let step = 1; step <= steps; step += 2)
        await Promise.all([crash(step), ...(step < steps ? [crash(step + 1)] : [])]);
    },
    40_000,
  );

  it('of a recovery leaves what the next recovery completes', async () => {
    for (const state of ['out+new', 'old+new', 'out+old'])
      for (let step = 1; ; step++) {
        const parent = await tempFolder();
        const staging = `.out.lanebench-new-${GONE_PID}`;
        await writeFile(join(parent, '.out.lanebench-swap'), staging);
        if (state.includes('out')) await fill(join(parent, 'out'), state === 'out+old' ? NEW : OLD);
        if (state.includes('old')) await fill(join(parent, '.out.lanebench-old'), OLD);
        if (state.includes('new')) await fill(join(parent, staging), NEW);
        const end = await run(join(parent, 'out'), 'recover', step, 'torn');
        await expectSound(parent, `${state} step ${step}`);
        expect(await whole(join(parent, 'out'))).toEqual(NEW);
        if (end !== null) break;
      }
  }, 40_000);
});

describe('the states a crash can leave', () => {
  const MARKER = '.out.lanebench-swap';
  const STAGING = `.out.lanebench-new-${GONE_PID}`;
  const state = async (parts: { marker?: string; out?: object; old?: object; fresh?: object }) => {
    const parent = await tempFolder();
    if (parts.marker !== undefined) await writeFile(join(parent, MARKER), parts.marker);
    for (const [name, files] of [
      ['out', parts.out],
      ['.out.lanebench-old', parts.old],
      [STAGING, parts.fresh],
    ] as const)
      if (files !== undefined) await fill(join(parent, name), files as Record<string, string>);
    await recover(join(parent, 'out'));
    return { left: await readdir(parent), out: await whole(join(parent, 'out')) };
  };

  it.each([
    ['marker, old folder in place, new ready', { marker: STAGING, out: OLD, fresh: NEW }, NEW],
    ['marker, old aside, new ready', { marker: STAGING, old: OLD, fresh: NEW }, NEW],
    ['marker, new in place, old aside', { marker: STAGING, out: NEW, old: OLD }, NEW],
    ['marker, new in place', { marker: STAGING, out: NEW }, NEW],
    ['marker, old aside only', { marker: STAGING, old: OLD }, OLD],
    ['no marker, unfinished new', { out: OLD, fresh: { 'a.csv': 'ne' } }, OLD],
    ['empty marker, old in place, new ready', { marker: '', out: OLD, fresh: NEW }, OLD],
    ['half a marker, old in place', { marker: '.out.lane', out: OLD, fresh: NEW }, OLD],
    ['a marker that points elsewhere', { marker: '..', out: OLD, fresh: NEW }, OLD],
  ])('%s', async (_, parts, expected) => {
    const { left, out } = await state(parts);
    expect(out).toEqual(expected);
    expect(left).toEqual(['out']);
  });

  it('does nothing where there is nothing', async () => {
    const parent = await tempFolder();
    await recover(join(parent, 'deep/out'));
    expect(await readdir(parent)).toEqual([]);
  });

  it('leaves a folder alone that a living program is writing, and other names', async () => {
    const parent = await tempFolder();
    const own = `.out.lanebench-new-${process.ppid}`;
    for (const name of [own, '.output.lanebench-new-1', 'out.lanebench-new-2'])
      await fill(join(parent, name), NEW);
    await recover(join(parent, 'out'));
    expect((await readdir(parent)).toSorted()).toEqual(
      [own, '.output.lanebench-new-1', 'out.lanebench-new-2'].toSorted(),
    );
  });
});

describe('writeFolder', () => {
  const files = new Map(Object.entries(NEW));
  it('writes a new folder, a deep one, and an empty one', async () => {
    const parent = await tempFolder();
    for (const name of ['new', 'a/b/c', 'empty']) {
      if (name === 'empty') await mkdir(join(parent, name));
      await writeFolder(join(parent, name), files, false);
      expect(await whole(join(parent, name))).toEqual(NEW);
    }
    expect((await readdir(parent)).toSorted()).toEqual(['a', 'empty', 'new']);
  });

  it('does not touch a folder that was filled meanwhile, and leaves nothing beside it', async () => {
    const parent = await tempFolder();
    await fill(join(parent, 'out'), OLD);
    await expect(writeFolder(join(parent, 'out'), files, false)).rejects.toThrow(/filled/);
    expect(await whole(join(parent, 'out'))).toEqual(OLD);
    expect(await readdir(parent)).toEqual(['out']);
  });

  it('cleans up where the disk refuses', async () => {
    const parent = await tempFolder();
    const bad = new Map<string, OutFile>([
      ['a.csv', 'x'],
      ['traces/b.csv', { copyOf: join(parent, 'not there') }],
    ]);
    await expect(writeFolder(join(parent, 'out'), bad, false)).rejects.toThrow();
    expect(await readdir(parent)).toEqual([]);
  });

  it('copies files into folders of their own, byte for byte, and may be written to again', async () => {
    const parent = await tempFolder();
    const film = join(parent, 'film');
    await writeFile(film, Uint8Array.of(0, 255, 10, 13), { mode: 0o444 });
    const out = join(parent, 'out');
    await writeFolder(out, new Map<string, OutFile>([['video/a/film.mp4', { copyOf: film }]]), false);
    const copy = join(out, 'video/a/film.mp4');
    expect([...(await readFile(copy))]).toEqual([0, 255, 10, 13]);
    await writeFile(copy, 'x');
  });

  it('knows a free place', async () => {
    const parent = await tempFolder();
    await fill(join(parent, 'full'), OLD);
    await mkdir(join(parent, 'empty'));
    await writeFile(join(parent, 'file'), 'x');
    const free = (name: string) => isFree(join(parent, name));
    expect([await free('absent'), await free('empty'), await free('full'), await free('file')]).toEqual([
      true,
      true,
      false,
      false,
    ]);
  });
});
