/** A damaged lab folder and a full disk: nothing false is shown, nothing throws, and a person is told. */
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readFileSync,
  readdirSync,
  rmSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { openStore, type Store } from '../../main/store/store.ts';
import type { Attack } from './attempt.ts';
import { writeDay } from './day.ts';

const AT = '2026-03-02T09:30:00.000Z';

/** A lab folder with one day and so many decisions; still open. */
function labWith(folder: string, decisions: number): { readonly store: Store; readonly day: number } {
  const opened = openStore(folder);
  if (!opened.ok) throw new Error(opened.error.says);
  const store = opened.value;
  const recorded = store.recordDay({
    day: 'D1', date: '2026-03-02', venue: 'invented', source: '/day', files: [], at: AT, who: 'AB',
  }); // prettier-ignore
  if (!recorded.ok) throw new Error(recorded.error.says);
  const day = recorded.value.id;
  for (let n = 0; n < decisions; n++) {
    const decided = store.decide({
      day, trial: null, subject: 'test', key: `k${n}`, before: null, after: { note: `value ${n}` }, says: `k${n}`,
      who: 'AB', at: AT,
    }); // prettier-ignore
    if (!decided.ok) throw new Error(decided.error.says);
  }
  return { store, day };
}

/** How a decision is shown that is named as damaged. */
const LOST = JSON.stringify(['', null]);

/** What every decision of a day says, by its id. */
function decisionsOf(store: Store, day: number): ReadonlyMap<number, string> {
  return new Map(
    store.history(day).map((decision) => [decision.id, JSON.stringify([decision.key, decision.after])]),
  );
}

/** Opens a damaged lab folder; what it shows must be what was recorded. */
function faultOfOpening(folder: string, day: number, recorded: ReadonlyMap<number, string>): string | null {
  let opened;
  try {
    opened = openStore(folder);
  } catch (error) {
    return `opening threw: ${String(error)}`;
  }
  if (!opened.ok) return /[.]$/.test(opened.error.says) ? null : `no sentence: ${opened.error.says}`;
  try {
    const named = opened.value.damage.map(({ says }) => says);
    for (const [id, says] of decisionsOf(opened.value, day))
      if (
        recorded.get(id) !== says &&
        !(says === LOST && named.some((one) => one.startsWith(`Decision ${id} `)))
      )
        return `decision ${id} is shown as ${says}, recorded as ${recorded.get(id)}`;
    opened.value.listDays();
    return null;
  } catch (error) {
    return `reading threw: ${String(error)}`;
  } finally {
    opened.value.close();
  }
}

export const bitFlips: Attack = {
  name: 'bits of the database flipped',
  promise: 'Damage is named, and nothing false is shown',
  times: 400,
  async run({ times, lot, folder, note }) {
    const { store, day } = labWith(join(folder, 'whole'), 60);
    const recorded = decisionsOf(store, day);
    store.close();
    const sound = readFileSync(join(folder, 'whole', 'lab.sqlite'));
    for (let n = 0; n < times; n++) {
      const flipped = Buffer.from(sound);
      const at = lot.whole(sound.length);
      const length = lot.oneOf([1, 1, 16, 600]);
      for (let i = at; i < Math.min(sound.length, at + length); i++)
        flipped[i]! ^= length === 1 ? 1 << lot.whole(8) : 0xff;
      const damaged = join(folder, `flipped-${n}`);
      mkdirSync(damaged);
      writeFileSync(join(damaged, 'lab.sqlite'), flipped);
      const fault = faultOfOpening(damaged, day, recorded);
      note(fault === null ? null : `flip ${n} at ${at} (${length}): ${fault}`);
      rmSync(damaged, { recursive: true });
    }
  },
};

export const walCuts: Attack = {
  name: 'the log of the database cut',
  promise: 'What was told as kept is kept',
  times: 100,
  async run({ times, lot, folder, note }) {
    const whole = join(folder, 'whole');
    const { store, day } = labWith(whole, 60);
    const recorded = decisionsOf(store, day);
    const bytes = readFileSync(join(whole, 'lab.sqlite-wal')).length;
    for (let n = 0; n < times; n++) {
      const damaged = join(folder, `cut-${n}`);
      mkdirSync(damaged);
      for (const name of readdirSync(whole))
        if (/^lab\.sqlite(-wal)?$/.test(name)) copyFileSync(join(whole, name), join(damaged, name));
      truncateSync(join(damaged, 'lab.sqlite-wal'), lot.whole(bytes + 1));
      const fault = faultOfOpening(damaged, day, recorded);
      note(fault === null ? null : `cut ${n}: ${fault}`);
      rmSync(damaged, { recursive: true });
    }
    store.close();
  },
};

function isRootOnLinux(): boolean {
  return process.platform === 'linux' && process.getuid?.() === 0;
}

export const fullDisk: Attack = {
  name: 'a full disk',
  promise: 'Whole or not at all',
  times: 12,
  missing: () => (isRootOnLinux() ? null : 'a small disk can be mounted by root on Linux only'),
  async run({ times, lot, folder, note }) {
    const [day, disk] = [join(folder, 'day'), join(folder, 'disk')];
    writeDay(day);
    mkdirSync(disk, { recursive: true });
    for (let n = 0; n < times; n++) {
      const bytes = lot.whole(n % 2 === 0 ? 30_000 : 400_000);
      const size = Math.max(4096, bytes);
      if (spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${size}`, 'tmpfs', disk]).status !== 0) {
        note(null);
        continue;
      }
      try {
        note(n % 2 === 0 ? fullWhileProcessing(day, disk, size) : fullWhileOpening(day, disk, size));
      } finally {
        spawnSync('umount', [disk]);
      }
    }
  },
};

function cli(args: readonly string[], home: string): { status: number | null; said: string } {
  const ran = spawnSync(process.execPath, ['main/cli/lanebench.ts', ...args], {
    encoding: 'utf8',
    env: { ...process.env, LANEBENCH_HOME: home },
  });
  return { status: ran.status, said: `${ran.stdout}${ran.stderr}` };
}

function fullWhileProcessing(day: string, disk: string, size: number): string | null {
  const { status, said } = cli(['process', day, '--out', join(disk, 'out')], join(disk, 'no-lab'));
  const left = readdirSync(disk);
  if (status === 0) return left.join() === 'out' ? null : `left ${left.join(' ')} on ${size} bytes`;
  if (status !== 1 || /\n\s+at /.test(said)) return `ended ${status} on ${size} bytes: ${said}`;
  return left.length === 0 ? null : `left ${left.join(' ')} on ${size} bytes`;
}

function fullWhileOpening(day: string, disk: string, size: number): string | null {
  const home = join(disk, 'lab');
  const { status, said } = cli(['open', day], home);
  if (status === 0) return null;
  if (status !== 1 || /\n\s+at /.test(said)) return `ended ${status} on ${size} bytes: ${said}`;
  if (!existsSync(join(home, 'lab.sqlite'))) return null;
  const opened = openStore(home);
  if (opened.ok) opened.value.close();
  return null;
}
