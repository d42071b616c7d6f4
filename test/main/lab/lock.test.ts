/** The mark of a lab folder that is open: one running program per folder. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { LOCK_FILE, processLives, takeLock, TURN_FILE } from '../../../main/lab/lock.ts';
import { openingFault } from '../../../main/lab/opening.ts';
import { fakeRoot } from '../hosts/fake-lab.ts';

/** A number that no process has: Linux counts to 2^22. */
const GONE = 2 ** 22 + 1;
const since = () => new Date().toISOString();

let home: string;
let remove: () => void;
beforeEach(() => {
  ({ home, remove } = fakeRoot());
});
afterEach(() => remove());

/** A process that takes the mark of every folder it is told of, and says what came of it. */
function startTaker() {
  const script = `
    import { createInterface } from 'node:readline';
    import { takeLock } from ${JSON.stringify(new URL('../../../main/lab/lock.ts', import.meta.url).href)};
    for await (const place of createInterface({ input: process.stdin }))
      console.log((await takeLock(place, null)).kind);`;
  const child = spawn(process.execPath, ['--input-type=module', '-e', script], {
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
  const take = async (place: string) => {
    child.stdin.write(`${place}\n`);
    return (await lines.next()).value;
  };
  return { child, take };
}

describe("the lab folder's mark", () => {
  const mark = (content: unknown) =>
    writeFileSync(join(home, LOCK_FILE), typeof content === 'string' ? content : JSON.stringify(content));

  it('is made with the folder, readable by its owner only, and taken away at the end', async () => {
    const deep = join(home, 'a', 'b');
    const lock = await takeLock(deep, { port: 1, key: 'k'.repeat(43) });
    expect(lock.kind).toBe('ours');
    expect(JSON.parse(readFileSync(join(deep, LOCK_FILE), 'utf8'))).toMatchObject({ pid: process.pid });
    if (process.platform !== 'win32') expect(statSync(join(deep, LOCK_FILE)).mode & 0o777).toBe(0o600);
    if (lock.kind === 'ours') await lock.release();
    expect(readdirSync(deep)).toEqual([TURN_FILE]);
    expect(statSync(join(deep, TURN_FILE)).size).toBe(0);
  });

  it('holds while the other process lives', async () => {
    mark({ pid: process.ppid, since: since(), door: null });
    expect(await takeLock(home, null)).toMatchObject({ kind: 'held', holder: { pid: process.ppid } });
  });

  it.each([
    ['of a process that is gone', { pid: GONE, since: new Date().toISOString(), door: null }],
    [
      'from before the machine was started',
      { pid: process.ppid, since: '2001-01-01T00:00:00.000Z', door: null },
    ],
    ['cut short', '{"pid":'],
    ['empty', ''],
    ['of another form', { process: 1 }],
  ])('%s is cleared away', async (_what, content) => {
    mark(content);
    expect((await takeLock(home, null)).kind).toBe('ours');
    expect(readdirSync(home)).toEqual([LOCK_FILE, TURN_FILE]);
  });

  it('is not taken away by one who no longer holds it', async () => {
    const lock = await takeLock(home, null);
    mark({ pid: process.ppid, since: since(), door: null });
    if (lock.kind === 'ours') await lock.release();
    expect(existsSync(join(home, LOCK_FILE))).toBe(true);
  });

  it(
    'goes to one of many processes that ask at once, over a dead mark, every time',
    { timeout: 120_000 },
    async () => {
      const takers = Array.from({ length: 6 }, () => startTaker());
      for (let round = 0; round < 60; round++) {
        const place = join(home, String(round));
        mkdirSync(place, { recursive: true });
        // Half the rounds over a mark cut short: it has no name that would tell it from another of the kind.
        writeFileSync(
          join(place, LOCK_FILE),
          round % 2 === 0 ? JSON.stringify({ pid: GONE, since: since(), door: null }) : '{"pid":',
        );
        const said = await Promise.all(takers.map(({ take }) => take(place)));
        expect(said.toSorted(), `round ${round}`).toEqual(['held', 'held', 'held', 'held', 'held', 'ours']);
      }
      for (const { child } of takers) child.stdin.end();
      await Promise.all(takers.map(({ child }) => once(child, 'exit')));
    },
  );

  it('knows a living process from a dead one', () => {
    expect(processLives({ pid: process.ppid, since: since(), door: null })).toBe(true);
    expect(processLives({ pid: process.pid, since: since(), door: null })).toBe(false);
    expect(processLives({ pid: GONE, since: since(), door: null })).toBe(false);
  });

  it('fails with a sentence where the folder cannot be written', async () => {
    writeFileSync(join(home, 'file'), '');
    const error: unknown = await takeLock(join(home, 'file', 'lab'), null).catch((reason: unknown) => reason);
    expect(openingFault(error, 'X')).toMatch(/^The lab folder X cannot be used: .*LANEBENCH_HOME/);
  });
});
