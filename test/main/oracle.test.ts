/**
 * The same days read twice: by this program, and by an independent numpy/scipy reading of formats.md (test/oracle),
 * which shares no code with it. Numbers agree to 1e-6 relative, text and emptiness exactly. The days are invented by
 * test/oracle/make_days.py from a seed; what they check is the two readings against each other.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const PYTHON = '/usr/bin/python3';
const hasScipy = existsSync('/usr/lib/python3/dist-packages/scipy');
const folder = mkdtempSync(join(tmpdir(), 'lanebench-oracle-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function python(script: string, ...args: string[]) {
  const run = spawnSync(PYTHON, [join('test/oracle', script), ...args], { encoding: 'utf8' });
  return { status: run.status, said: `${run.stdout}${run.stderr}` };
}

function agree(day: string, name: string): void {
  const [out, json] = [join(folder, `${name}.out`), join(folder, `${name}.json`)];
  expect(python('oracle.py', day, json)).toMatchObject({ status: 0 });
  const program = spawnSync(process.execPath, ['main/cli/lanebench.ts', 'process', day, '--out', out]);
  expect([0, 3]).toContain(program.status);
  const { status, said } = python('compare.py', out, json);
  expect(said).toMatch(/\b[1-9]\d* compared, 0 different\s*$/);
  expect(status).toBe(0);
}

describe.skipIf(!hasScipy)('an independent reading of formats.md', () => {
  it('reads the sample day to the same numbers', () => {
    agree('sample-sessions/harbour-morning', 'sample');
  });
  for (const seed of [31, 32, 33, 34])
    for (const kind of ['plain', 'dirty'])
      it(`reads invented day ${seed} (${kind}) to the same numbers`, () => {
        const day = join(folder, `${kind}-${seed}`);
        expect(python('make_days.py', String(seed), day, '--kind', kind)).toMatchObject({ status: 0 });
        agree(day, `${kind}-${seed}`);
      });

  it('reads long traces, which come in many pieces, to the same numbers', () => {
    const day = join(folder, 'long');
    const made = spawnSync(PYTHON, ['test/bench/make_big_day.py', day, '2', '30', '1000']);
    expect(made.status).toBe(0);
    agree(day, 'long');
  });

  it('checks itself against published values', () => {
    expect(python('check_oracle.py').status).toBe(0);
  });
});
