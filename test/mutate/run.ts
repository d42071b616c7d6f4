/**
 * Applies small changes to core one at a time, in a copy of the project, and says which of them no test sees.
 * `npm run mutate` for all, `npm run mutate -- WORD…` for those whose file or text holds one of the words.
 * Ends with 1 where one lives, or no longer stands in its file.
 */
import { spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { CHANGES, type Change } from './changes.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));
const words = process.argv.slice(2);
const wanted = CHANGES.filter(
  ({ file, find }) => words.length === 0 || words.some((word) => file.includes(word) || find.includes(word)),
);
const copy = mkdtempSync(join(tmpdir(), 'lanebench-mutate-'));

/** What the tests say of the copy as it stands; null where all pass. A busy machine is given time. */
function failure(tests: readonly string[]): string | null {
  const run = spawnSync(
    process.execPath,
    [
      join('node_modules', 'vitest', 'vitest.mjs'),
      ...['run', '--config', 'test/vitest.config.ts', '--root', '.', '--project', 'unit', '--bail', '1'],
      ...['--testTimeout', '120000'],
      ...tests.map((test) => `test/${test}`),
    ],
    { cwd: copy, encoding: 'utf8' },
  );
  if (run.error !== undefined) throw run.error;
  return run.status === 0 ? null : run.stdout + run.stderr;
}

function tried({ file, find, put, tests }: Change): 'killed' | 'lives' | 'not there once' {
  const path = join(copy, 'core', file);
  const whole = readFileSync(path, 'utf8');
  if (whole.split(find).length !== 2) return 'not there once';
  writeFileSync(
    path,
    whole.replace(find, () => put),
  );
  try {
    return failure(tests) === null ? 'lives' : 'killed';
  } finally {
    writeFileSync(path, whole);
  }
}

try {
  for (const part of ['core', 'main', 'renderer', 'test', 'package.json', 'tsconfig.json'])
    cpSync(join(root, part), join(copy, part), { recursive: true });
  for (const part of ['node_modules', 'sample-sessions']) symlinkSync(join(root, part), join(copy, part));
  const all = [...new Set(wanted.flatMap(({ tests }) => tests))];
  const before = failure(all);
  if (before !== null) throw new Error(`The tests fail without any change: mend them first.\n${before}`);
  let left = 0;
  for (const [index, change] of wanted.entries()) {
    const what = tried(change);
    if (what !== 'killed') left++;
    const about = `${change.file}: ${change.find.trim()} → ${change.put.trim() || '(nothing)'}`;
    console.log(
      `${index + 1}/${wanted.length} ${what === 'killed' ? 'killed' : what.toUpperCase()}  ${about}`,
    );
  }
  console.log(
    left === 0 ? `All ${wanted.length} changes are seen.` : `${left} of ${wanted.length} are not seen.`,
  );
  process.exitCode = left === 0 ? 0 : 1;
} finally {
  rmSync(copy, { recursive: true, force: true });
}
