/** Runs the command line as a person does: a program of its own, with the Node that comes with the project. */
import { execFile, type ExecFileOptions } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { runCompare } from '../../../main/cli/compare.ts';
import { runGather, runPropose } from '../../../main/cli/gather.ts';
import { runPool } from '../../../main/cli/pool.ts';
import { runProcess } from '../../../main/cli/process.ts';
import type { Terminal } from '../../../main/cli/terminal.ts';

export const ROOT = join(import.meta.dirname, '../../..');
const own = join(ROOT, 'node_modules/.bin/node');
export const NODE = existsSync(own) ? own : process.execPath;
/** The sources as they run where they are not bundled. */
export const LANEBENCH = join(ROOT, 'main/cli/lanebench.ts');
const LAUNCH = join(ROOT, 'main/launch.mjs');
export const SAMPLE = join(ROOT, 'sample-sessions/harbour-morning');

export interface Ran {
  readonly status: number | null;
  readonly signal: string | null;
  readonly stdout: string;
  readonly stderr: string;
}

export function lanebench(args: readonly string[], options: ExecFileOptions = {}): Promise<Ran> {
  return new Promise((resolve) => {
    const child = execFile(
      NODE,
      [LAUNCH, 'cli/lanebench', ...args],
      { ...options, encoding: 'utf8' },
      (_, stdout, stderr) => {
        resolve({ status: child.exitCode, signal: child.signalCode, stdout, stderr });
      },
    );
  });
}

/** Runs a command without a program of its own: the same words and status, in a tenth of the time. */
export async function here(run: (terminal: Terminal) => Promise<number>): Promise<Ran> {
  let [stdout, stderr] = ['', ''];
  const status = await run({
    print: (text) => (stdout += `${text}\n`),
    error: (text) => (stderr += `${text}\n`),
    progress: null,
  });
  return { status, signal: null, stdout, stderr };
}

export function processHere(folder: string, out: string, replace = false, samples = false): Promise<Ran> {
  return here((terminal) => runProcess({ folder, out, replace, samples }, terminal));
}

export function poolHere(
  folders: readonly string[],
  out: string,
  { lab = null as string | null, parquet = false } = {},
): Promise<Ran> {
  return here((terminal) => runPool({ folders, out, lab, parquet, replace: false }, terminal));
}

export function gatherHere(folder: string, map: string, out: string, replace = false): Promise<Ran> {
  return here((terminal) => runGather({ folder, map, out, replace }, terminal));
}

export function proposeHere(folder: string, map: string): Promise<Ran> {
  return here((terminal) => runPropose(folder, map, terminal));
}

export function compareHere(folder: string, plan: string, out: string, replace = false): Promise<Ran> {
  return here((terminal) => runCompare({ folder, plan, out, replace }, terminal));
}

/** No fault of ours may show as a stack; a person reads sentences. */
export function looksLikeAFault({ stdout, stderr }: Ran): boolean {
  return /\n\s+at .+:\d+|node:internal|Node\.js v\d/.test(stdout + stderr);
}
