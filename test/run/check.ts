/** Everything that can be said of the project without running it: format, lint, layers and rooms, circles, types, unused code. */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';

export interface Check {
  readonly name: string;
  readonly passed: boolean;
  readonly output: string;
}

const bin = (path: string) => join('node_modules', path);
const CHECKS: readonly (readonly [string, readonly string[]])[] = [
  ['format', [bin('prettier/bin/prettier.cjs'), '--check', '--log-level', 'warn', '.']],
  [
    'lint, layers and rooms',
    [bin('eslint/bin/eslint.js'), '--config', 'test/lint/eslint.config.mjs', '--max-warnings', '0', '.'],
  ],
  ['no circle of files', ['test/lint/circles.ts']],
  ['types: core', [bin('typescript/bin/tsc'), '-p', 'tsconfig.json']],
  ['types: main', [bin('typescript/bin/tsc'), '-p', 'main/tsconfig.json']],
  ['types: test', [bin('typescript/bin/tsc'), '-p', 'test/tsconfig.json']],
  [
    'types: renderer',
    [
      bin('svelte-check/bin/svelte-check'),
      '--tsconfig',
      'renderer/tsconfig.json',
      '--fail-on-warnings',
      '--output',
      'human',
    ],
  ],
  ['unused exports, files and dependencies', [bin('knip/bin/knip.js'), '--config', 'test/run/knip.json']],
];

/** Runs every check; what a failing one said is in its output. */
export function runChecks(): Check[] {
  return CHECKS.map(([name, args]) => {
    const { status, stdout, stderr } = spawnSync(process.execPath, args, { encoding: 'utf8' });
    const check = { name, passed: status === 0, output: `${stdout}${stderr}` };
    console.log(`${check.passed ? 'ok  ' : 'FAIL'} ${name}`);
    if (!check.passed) console.log(check.output);
    return check;
  });
}

if (import.meta.main) process.exitCode = runChecks().every(({ passed }) => passed) ? 0 : 1;
