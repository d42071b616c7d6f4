/**
 * Programs ended by SIGKILL: before a given system call (where strace is there to do it) and at any moment. What was
 * asked for is whole or not there, and the next try succeeds.
 */
import { spawn, spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { openStore } from '../../main/store/store.ts';
import type { Attack } from './attempt.ts';
import { writeDay } from './day.ts';
import type { Lot } from './lot.ts';

const CLI = 'main/cli/lanebench.ts';
/** The calls by which something comes to be, or to lie elsewhere, on a disk. */
const CALLS = 'openat,write,pwrite64,fsync,fdatasync,rename,mkdir,unlink,unlinkat,rmdir,ftruncate,link';
const STRACE = '/usr/bin/strace';

function environment(home: string): NodeJS.ProcessEnv {
  return { ...process.env, LANEBENCH_HOME: home };
}

/** Runs the command and kills it; true where it was killed before it was done. */
async function killed(args: readonly string[], home: string, lot: Lot, tookMs: number): Promise<boolean> {
  const traced = existsSync(STRACE) && lot.part() < 0.7;
  const when = 1 + lot.whole(60);
  const call = lot.oneOf(CALLS.split(','));
  const inject = [
    '-f',
    '-qq',
    '-o',
    '/dev/null',
    '-e',
    `trace=${CALLS}`,
    '-e',
    `inject=${call}:signal=KILL:when=${when}`,
  ];
  const [program, given] = traced
    ? [STRACE, [...inject, process.execPath, CLI, ...args]]
    : [process.execPath, [CLI, ...args]];
  const child = spawn(program, given, { stdio: 'ignore', env: environment(home) });
  const ended = new Promise<boolean>((resolve) =>
    child.once('exit', (code, signal) => resolve(signal !== null || code === 137)),
  );
  if (!traced) {
    await wait(lot.part() * tookMs * 1.2);
    child.kill('SIGKILL');
  }
  return ended;
}

function run(args: readonly string[], home: string): { status: number | null; said: string } {
  const { status, stdout, stderr } = spawnSync(process.execPath, [CLI, ...args], {
    encoding: 'utf8',
    env: environment(home),
  });
  return { status, said: `${stdout}${stderr}` };
}

/** Every file below a folder with its bytes, as one text. */
function contentOf(folder: string): string {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
    .sort()
    .map((path) => `${path.slice(folder.length)}\n${readFileSync(path, 'latin1')}`)
    .join('\n');
}

/** Where several small things are asked about one folder of an attempt. */
function faultOfOut(root: string, out: string, complete: string, old: string): string | null {
  if (!existsSync(out)) return readdirSync(root).includes('.out.lanebench-swap') ? null : 'OUT is gone';
  const found = contentOf(out);
  return found === old || found === complete ? null : 'OUT is neither as it was nor complete';
}

export const processKills: Attack = {
  name: 'process --replace killed',
  promise: 'Whole or not at all',
  times: 120,
  async run({ times, lot, folder, note }) {
    const [day, home] = [join(folder, 'day'), join(folder, 'no-lab')];
    writeDay(day);
    const began = performance.now();
    run(['process', day, '--out', join(folder, 'complete')], home);
    const tookMs = performance.now() - began;
    const complete = contentOf(join(folder, 'complete'));
    for (let n = 0; n < times; n++) {
      const root = join(folder, `kill-${n}`);
      const out = join(root, 'out');
      mkdirSync(out, { recursive: true });
      writeFileSync(join(out, 'trials.csv'), 'old');
      const old = contentOf(out);
      const args = ['process', day, '--out', out, '--replace'];
      await killed(args, home, lot, tookMs);
      const left = faultOfOut(root, out, complete, old);
      const again = run(args, home);
      const healed = again.status === 0 && contentOf(out) === complete && readdirSync(root).join() === 'out';
      note(
        left !== null
          ? `kill ${n}: ${left}`
          : healed
            ? null
            : `kill ${n}: the next try ended ${again.status}: ${again.said}`,
      );
      rmSync(root, { recursive: true });
    }
  },
};

export const openKills: Attack = {
  name: 'open killed',
  promise: 'Whole or not at all',
  times: 60,
  async run({ times, lot, folder, note }) {
    const [day, empty] = [join(folder, 'day'), join(folder, 'empty')];
    writeDay(day);
    const began = performance.now();
    run(['open', day], empty);
    const tookMs = performance.now() - began;
    for (let n = 0; n < times; n++) {
      const home = join(folder, `lab-${n}`);
      if (lot.part() < 0.5) cpSync(empty, home, { recursive: true });
      await killed(['open', day], home, lot, tookMs);
      const again = run(['open', day], home);
      let fault = again.status === 0 ? null : `the next try ended ${again.status}: ${again.said}`;
      if (fault === null) fault = await labFault(home);
      note(fault === null ? null : `kill ${n}: ${fault}`);
      rmSync(home, { recursive: true });
    }
  },
};

export const salvageKills: Attack = {
  name: 'salvage killed',
  promise: 'Whole or not at all',
  times: 24,
  async run({ times, lot, folder, note }) {
    const [day, damaged, home] = [join(folder, 'day'), join(folder, 'damaged'), join(folder, 'no-lab')];
    writeDay(day);
    run(['open', day], damaged);
    const began = performance.now();
    run(['salvage', damaged, '--home', join(folder, 'first')], home);
    const tookMs = performance.now() - began;
    for (let n = 0; n < times; n++) {
      const root = join(folder, `kill-${n}`);
      mkdirSync(root);
      const args = ['salvage', damaged, '--home', join(root, 'lab')];
      await killed(args, home, lot, tookMs);
      let fault = existsSync(join(root, 'lab')) ? await labFault(join(root, 'lab')) : null;
      rmSync(join(root, 'lab'), { recursive: true, force: true });
      const again = run(args, home);
      if (again.status !== 0) fault ??= `the next try ended ${again.status}: ${again.said}`;
      fault ??= await labFault(join(root, 'lab'));
      if (readdirSync(root).join() !== 'lab') fault ??= `left ${readdirSync(root).join(' ')}`;
      note(fault === null ? null : `kill ${n}: ${fault}`);
      rmSync(root, { recursive: true });
    }
  },
};

async function labFault(home: string): Promise<string | null> {
  const opened = openStore(home);
  if (!opened.ok) return `the lab folder does not open: ${opened.error.says}`;
  const store = opened.value;
  try {
    const { sound } = await store.checkIntegrity();
    if (!sound) return 'the lab folder is not sound';
    return store.listDays().length === 1 ? null : 'the day is not listed';
  } finally {
    store.close();
  }
}

/** Lines that the committing program printed before it was killed: what it told of must be kept. */
async function toldBeforeKill(home: string, mark: string, afterMs: number): Promise<readonly string[]> {
  const child = spawn(process.execPath, ['test/main/store/committing.ts', home, mark]);
  let out = '';
  child.stdout.on('data', (piece: Buffer) => (out += piece.toString()));
  const ended = new Promise((resolve) => child.once('close', resolve));
  while (out === '' && child.exitCode === null) await wait(5);
  await wait(afterMs);
  child.kill('SIGKILL');
  await ended;
  return out.split('\n').slice(0, -1);
}

export const decisionKills: Attack = {
  name: 'decisions killed',
  promise: 'What was told as kept is kept',
  times: 40,
  async run({ times, lot, folder, note }) {
    const home = join(folder, 'lab');
    const told: string[] = [];
    for (let n = 0; n < times; n++) {
      for (const line of await toldBeforeKill(home, `run${n}`, lot.whole(80))) told.push(line);
      const opened = openStore(home);
      if (!opened.ok) {
        note(`kill ${n}: the lab folder does not open: ${opened.error.says}`);
        continue;
      }
      const kept = new Set(opened.value.history(1).map(({ id, key }) => `${id} ${key}`));
      opened.value.close();
      const lost = told.filter((line) => !kept.has(line));
      note(lost.length === 0 ? null : `kill ${n}: lost ${lost.length} of ${told.length}`);
    }
  },
};
