/** Everything that can be said of the project without running it: format, lint, layers and rooms, circles, types, unused code. */
import { bin, eslint, runTasks, tsc, type Result, type Task } from './tasks.ts';

const CHECKS: readonly Task[] = [
  {
    name: 'types: renderer',
    args: [
      bin('svelte-check/bin/svelte-check'),
      '--tsconfig',
      'renderer/tsconfig.json',
      '--fail-on-warnings',
      '--output',
      'human',
    ],
  },
  { name: 'lint, layers and rooms', args: eslint('.') },
  { name: 'format', args: [bin('prettier/bin/prettier.cjs'), '--check', '--log-level', 'warn', '.'] },
  { name: 'types: test', args: tsc('test/tsconfig.json') },
  { name: 'types: main', args: tsc('main/tsconfig.json') },
  { name: 'types: core', args: tsc('tsconfig.json') },
  {
    name: 'unused exports, files and dependencies',
    args: [bin('knip/bin/knip.js'), '--config', 'test/run/knip.json'],
  },
  { name: 'no circle of files', args: ['test/lint/circles.ts'] },
];

/** Runs every check; what a failing one said is in its output. */
export const runChecks = (): Promise<Result[]> => runTasks(CHECKS);

if (import.meta.main) process.exitCode = (await runChecks()).every(({ passed }) => passed) ? 0 : 1;
