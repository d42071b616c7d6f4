/** `compare` on an invented study of 108 swimmers × 3 trials against R with nlme, by its own script and by another. */
import { execFile } from 'node:child_process';
import { mkdtemp, readFile, readdir, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { records } from '../files/day-builder.ts';
import { PLAN, QUESTIONS } from '../lab/findings/plan.ts';
import { inventStudy, writePool } from '../lab/findings/studybuilder.ts';
import { compareHere, lanebench, looksLikeAFault, type Ran } from './run.ts';

const PATIENCE = 300_000;

interface Said {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

function rscript(cwd: string, args: readonly string[]): Promise<Said> {
  return new Promise((resolve) => {
    const child = execFile(
      'Rscript',
      [...args],
      { cwd, encoding: 'utf8', env: { ...process.env, LC_ALL: 'C' } },
      (_, stdout, stderr) => resolve({ status: child.exitCode, stdout, stderr }),
    );
  });
}

let folder = '';
let ran: Ran;
const results = () => join(folder, 'results');
const read = (name: string) => readFile(join(results(), name), 'utf8');

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'lanebench-compare-'));
  await writePool(join(folder, 'pool'), inventStudy(108, 11));
  await writeFile(join(folder, 'my plan.json'), JSON.stringify(PLAN, null, 1));
  ran = await lanebench([
    'compare',
    join(folder, 'pool'),
    '--plan',
    join(folder, 'my plan.json'),
    '--out',
    results(),
  ]);
}, PATIENCE);

describe('108 swimmers × 3 trials', () => {
  test('every question is answered but the one without its column, which is named', async () => {
    expect(ran.stderr).toBe('');
    expect(ran.status).toBe(3);
    const answered = new Set(records(await read('tests.csv')).map((row) => row['question']));
    expect([...answered]).toEqual(QUESTIONS.map(({ id }) => id).filter((id) => id !== 'anova none'));
    const [refused, ...more] = records(await read('refused.csv'));
    expect(more).toEqual([]);
    expect(refused).toMatchObject({ file: 'my plan.json', line: '' });
    expect(refused!['reason']).toMatch(/^anova none: There is no column "height_free"\. Did you mean /);
  });

  test(
    'check.R recomputes tests.csv from units.csv and agrees',
    async () => {
      const said = await rscript(results(), ['check.R']);
      const lines = said.stdout.trim().split('\n');
      expect(said.stderr).toBe('');
      expect(lines.filter((line) => line.startsWith('DIFFERS'))).toEqual([]);
      expect(lines.at(-1)).toBe(`${records(await read('tests.csv')).length} rows, 0 differ`);
      expect(said.status).toBe(0);
    },
    PATIENCE,
  );

  test(
    'check.R tells a number that was changed',
    async () => {
      const copy = await mkdtemp(join(tmpdir(), 'lanebench-compare-'));
      for (const name of ['check.R', 'units.csv']) await writeFile(join(copy, name), await read(name));
      const tests = await read('tests.csv');
      const p = records(tests)[0]!['p']!;
      await writeFile(join(copy, 'tests.csv'), tests.replace(p, String(Number(p) * 1.00001)));
      const said = await rscript(copy, ['check.R']);
      expect(said.status).toBe(1);
      expect(said.stdout).toMatch(/DIFFERS {2}welch welch.*\(p\)/);
    },
    PATIENCE,
  );

  test(
    'R, reading the tables by itself, has the same units, groups, n, left_out and numbers',
    async () => {
      const script = join(import.meta.dirname, '../../oracle/findings.R');
      const said = await rscript(folder, [script, join(folder, 'pool')]);
      expect(said.stderr).toBe('');
      const rows = records(await read('tests.csv'));
      const lines = said.stdout.trim().split('\n');
      expect(lines.length).toBeGreaterThan(70);
      for (const line of lines) {
        const [question, term, what, value] = line.split(',') as [string, string, string, string];
        const own = rows.find((row) => row['question'] === question && row['term'] === term)!;
        const [mine, theirs] = [Number(own[what]), Number(value)];
        const room = question.startsWith('mixed') ? 1e-4 : 1e-6;
        expect(own[what], line).not.toBe('');
        expect(Math.abs(mine - theirs), `${line}, here ${mine}`).toBeLessThanOrEqual(room * Math.abs(theirs));
      }
    },
    PATIENCE,
  );

  test('holds what all values share against each difference, and what the groups do not share', async () => {
    const rows = records(await read('tests.csv'));
    const of = (question: string, term = '') =>
      rows.find((row) => row['question'] === question && row['term'] === term)!;
    // Two left sensors over three days: the sensitivity is not shared, the way of measuring hands is: 3/150.
    const student = of('student');
    expect(Number(student['shared_u'])).toBeCloseTo(0.02 * Math.abs(Number(student['estimate'])), 12);
    // The section of 10 m is known to 0.02 m.
    const equivalence = of('equivalence');
    expect(Number(equivalence['shared_u'])).toBeCloseTo(
      0.002 * Math.abs(Number(equivalence['estimate'])),
      12,
    );
    expect(of('welch')['shared_u']).toBe('');
    expect(of('line', 'intercept')['shared_u']).toBe('');
    expect(Number(of('repeat', 'typical_error')['shared_u'])).toBeGreaterThan(0);
    expect(of('student')['notes']).not.toMatch(/differ/);
  });

  test(
    'writes the same bytes again',
    async () => {
      const again = join(folder, 'again');
      await lanebench([
        'compare',
        join(folder, 'pool'),
        '--plan',
        join(folder, 'my plan.json'),
        '--out',
        again,
      ]);
      const names = (await readdir(results(), { recursive: true, withFileTypes: true })).filter((entry) =>
        entry.isFile(),
      );
      expect(names.length).toBeGreaterThan(7);
      for (const { parentPath, name } of names) {
        const path = join(parentPath, name);
        expect(await readFile(path.replace(results(), again)), name).toEqual(await readFile(path));
      }
    },
    PATIENCE,
  );
});

describe('what cannot be asked', () => {
  const compare = async (plan: unknown, pool = 'pool') => {
    const out = await mkdtemp(join(tmpdir(), 'lanebench-compare-'));
    const file = join(out, 'plan.json');
    await writeFile(file, typeof plan === 'string' ? plan : JSON.stringify(plan));
    const said = await compareHere(join(folder, pool), file, join(out, 'results'));
    expect(looksLikeAFault(said)).toBe(false);
    return { ...said, names: await readdir(out) };
  };

  test.each([
    ['no JSON', '{', /not JSON/],
    ['another format', { ...PLAN, format: 'x' }, /format/],
    ['an unknown key', { ...PLAN, adjsut: 'holm' }, /no key "adjsut" \(did you mean adjust/],
    [
      'an unknown key of keep',
      { ...PLAN, keep: { statuss: [] } },
      /no key "statuss" in keep \(did you mean status/,
    ],
    ['no question', { ...PLAN, questions: [] }, /questions/],
    [
      'only questions that cannot be answered',
      { ...PLAN, questions: [{ id: 'x', test: 'welch', grups: [] }] },
      /x: There is no key "grups"/,
    ],
  ])('%s: 1, and nothing is written', async (_, plan, says) => {
    const said = await compare(plan);
    expect(said.stderr).toMatch(says);
    expect(said.status).toBe(1);
    expect(said.names).toEqual(['plan.json']);
  });

  test('a folder that is no dataset: 1', async () => {
    const said = await compare(PLAN, '.');
    expect(said.stderr).toMatch(/no dataset/);
    expect(said.status).toBe(1);
  });

  test.each([
    [['compare', 'a', 'b', '--plan', 'p', '--out', 'o']],
    [['compare', 'a', '--out', 'o']],
    [['compare', 'a', '--plan', 'p']],
    [['compare', 'a', '--plan', 'p', '--out', 'o', '--lab', 'x']],
  ])('%j: 2', async (args) => expect((await lanebench(args)).status).toBe(2), PATIENCE);

  test('RESULTS inside the dataset, or full: 2', async () => {
    const plan = join(folder, 'my plan.json');
    const pool = join(folder, 'pool');
    expect((await compareHere(pool, plan, join(pool, 'x'))).status).toBe(2);
    const full = await compareHere(pool, plan, results());
    expect(full).toMatchObject({ status: 2 });
    expect(full.stderr).toMatch(/--replace/);
  });

  test(
    '--help',
    async () => expect((await lanebench(['compare', '--help'])).stdout).toMatch(/^lanebench compare/),
    PATIENCE,
  );
});
