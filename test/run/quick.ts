/**
 * For use before each commit: the tests of core and the reference values, the types, and format and lint of what
 * changed since the last commit. What renders, stores and serves is left to `npm test`.
 */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { bin, eslint, runTasks, tsc, type Task } from './tasks.ts';

const git = (...args: readonly string[]): string[] =>
  spawnSync('git', args, { encoding: 'utf8' }).stdout.split('\n').filter(existsSync);

const changed = [
  ...git('diff', '--name-only', '--diff-filter=d', 'HEAD'),
  ...git('ls-files', '--others', '--exclude-standard'),
];
const code = changed.filter((file) => /\.(ts|mjs|svelte)$/.test(file));

/** Types from where they were told last time. */
const types = (name: string, project: string): Task => ({
  name: `types: ${name}`,
  args: tsc(project, '--incremental', '--tsBuildInfoFile', `node_modules/.cache/quick/${name}.tsbuildinfo`),
});

const TASKS: readonly Task[] = [
  {
    name: 'tests: core, reference values',
    args: [
      bin('vitest/vitest.mjs'),
      ...['run', '--config', 'test/vitest.config.ts', '--root', '.', '--project', 'unit'],
      // Pure functions share nothing that one test could leave to another.
      ...['--no-isolate', '--pool', 'threads', '--reporter', 'dot'],
      ...['test/core', 'test/reference'],
    ],
  },
  types('core', 'tsconfig.json'),
  types('main', 'main/tsconfig.json'),
  types('test', 'test/tsconfig.json'),
  { name: 'no circle of files', args: ['test/lint/circles.ts'] },
  ...(changed.length === 0
    ? []
    : [
        {
          name: 'format of what changed',
          args: [
            bin('prettier/bin/prettier.cjs'),
            ...['--check', '--log-level', 'warn', '--ignore-unknown'],
            ...changed,
          ],
        },
      ]),
  ...(code.length === 0 ? [] : [{ name: 'lint of what changed', args: eslint(...code) }]),
];

process.exitCode = (await runTasks(TASKS)).every(({ passed }) => passed) ? 0 : 1;
