/** Runs programs of the project's tools, two at a time: two cores are common on a lab's machine. */
import { spawn } from 'node:child_process';
import { join } from 'node:path';

export interface Task {
  readonly name: string;
  /** What Node is started with. */
  readonly args: readonly string[];
}

export interface Result {
  readonly name: string;
  readonly passed: boolean;
  readonly output: string;
}

const AT_ONCE = 2;

/** Path of a tool below the installed packages. */
export const bin = (path: string): string => join('node_modules', path);

export const eslint = (...files: readonly string[]): string[] => [
  bin('eslint/bin/eslint.js'),
  '--config',
  'test/lint/eslint.config.mjs',
  '--max-warnings',
  '0',
  ...files,
];

export const tsc = (project: string, ...options: readonly string[]): string[] => [
  bin('typescript/bin/tsc'),
  '-p',
  project,
  ...options,
];

/** Runs the tasks in their order and says of each how it went; what a failing one said is shown and given back. */
export async function runTasks(tasks: readonly Task[]): Promise<Result[]> {
  const results: Result[] = [];
  const waiting = [...tasks];
  const work = async () => {
    for (let task = waiting.shift(); task !== undefined; task = waiting.shift()) {
      const result = await run(task);
      console.log(`${result.passed ? 'ok  ' : 'FAIL'} ${result.name}`);
      if (!result.passed) console.log(result.output);
      results.push(result);
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, work));
  return results;
}

function run({ name, args }: Task): Promise<Result> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, args, { stdio: ['ignore', 'pipe', 'pipe'] });
    let output = '';
    for (const stream of [child.stdout, child.stderr])
      stream.setEncoding('utf8').on('data', (text: string) => (output += text));
    child.once('close', (status) => resolve({ name, passed: status === 0, output }));
  });
}
