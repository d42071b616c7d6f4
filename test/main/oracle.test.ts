/**
 * The same days read twice: by this program, and by an independent numpy/scipy reading of formats.md (test/oracle),
 * which shares no code with it. Numbers agree to 1e-6 relative, text, emptiness and flags exactly. The days are
 * invented by test/oracle/make_days.py from a seed; what they check is the two readings against each other.
 * test/oracle/many_days.py does the same with as many days as one likes.
 */
import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';

const PYTHON = '/usr/bin/python3';
const PENDING = 'test/oracle/pending.json';
const SAMPLE = 'sample-sessions/harbour-morning';
const MINUTE = 60_000;
vi.setConfig({ testTimeout: 5 * MINUTE, hookTimeout: 300_000 * MINUTE });
const hasScipy = existsSync('/usr/lib/python3/dist-packages/scipy');
/** What is not compared yet: columns of every day, and days as a whole. It only shrinks. */
const pending = JSON.parse(readFileSync(PENDING, 'utf8')) as { columns: string[]; days: string[] };
const days = [31, 32, 33, 34, 35, 36]
  .flatMap((seed) => [`plain-${seed}`, `dirty-${seed}`])
  .filter((name) => !pending.days.includes(name));
const folder = mkdtempSync(join(tmpdir(), 'lanebench-oracle-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function python(script: string, ...args: string[]) {
  const run = spawnSync(PYTHON, [join('test/oracle', script), ...args], { encoding: 'utf8' });
  return { status: run.status, said: `${run.stdout}${run.stderr}` };
}

const readingOf = (name: string) => join(folder, `${name}.json`);

/** Runs the program on a day that the oracle has read, and compares. */
function agree(day: string, name: string): void {
  const out = join(folder, `${name}.out`);
  const program = spawnSync(process.execPath, ['main/cli/lanebench.ts', 'process', day, '--out', out]);
  expect([0, 3]).toContain(program.status);
  const refused = readFileSync(join(out, 'refused.csv'), 'utf8').trim().split('\n').length - 1;
  expect(program.status).toBe(refused > 0 ? 3 : 0);
  const { status, said } = python('compare.py', '--without', PENDING, out, readingOf(name));
  expect(said).toMatch(/\b[1-9]\d* compared, 0 different\s*$/);
  expect(status).toBe(0);
}

describe.skipIf(!hasScipy)('an independent reading of formats.md', () => {
  beforeAll(() => {
    if (days.length > 0) expect(python('make_days.py', folder, ...days)).toMatchObject({ status: 0 });
    const long = join(folder, 'long');
    expect(spawnSync(PYTHON, ['test/bench/make_big_day.py', long, '2', '30', '1000']).status).toBe(0);
    const read = days.flatMap((name) => [join(folder, name), readingOf(name)]);
    const others = [SAMPLE, readingOf('sample'), long, readingOf('long')];
    expect(python('oracle.py', ...read, ...others)).toMatchObject({ status: 0 });
  });

  it('reads the sample day to the same numbers', () => agree(SAMPLE, 'sample'));

  it.each(days)('reads the invented day %s to the same numbers', (name) => agree(join(folder, name), name));

  it('reads long traces, which come in many pieces, to the same numbers', () =>
    agree(join(folder, 'long'), 'long'));

  it('notices a number that is off by a millionth or two, and a flag that is not due', () => {
    const [out, spoilt] = [join(folder, 'sample.out'), join(folder, 'spoilt.out')];
    cpSync(out, spoilt, { recursive: true });
    const table = join(spoilt, 'trials.csv');
    const [head = '', first = '', ...rest] = readFileSync(table, 'utf8').split('\n');
    const at = head.split(',').indexOf('velocity_m_s');
    const cells = first.split(',');
    cells[head.split(',').indexOf('flags')] = 'no_timing_u';
    cells[at] = String(Number(cells[at]) * (1 + 2e-6));
    writeFileSync(table, [head, cells.join(','), ...rest].join('\n'));
    const { status, said } = python('compare.py', '--without', PENDING, spoilt, readingOf('sample'));
    expect(status).toBe(1);
    expect(said).toMatch(/trials P01-1 velocity_m_s: program/);
    expect(said).toMatch(/trials P01-1 flag no_timing_u: program there/);
  });

  it('leaves out no comparison that would pass', () => {
    const every = ['sample', 'long', ...days].flatMap((name) => [
      join(folder, `${name}.out`),
      readingOf(name),
    ]);
    expect(python('compare.py', '--without', PENDING, ...every).said).not.toContain(
      'no longer to be left out',
    );
  });

  it('checks itself against published values', () => {
    expect(python('check_oracle.py').status).toBe(0);
    expect(python('check_spread.py').said).toMatch(/\b0 failed\s*$/);
  });
});
