/** Programs measured in turns: ours, the other, ours …, so that what else the machine does falls on both alike. */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { ROOT } from '../main/cli/run.ts';

/** What a program took. `inside` leaves out its start, where it says so itself. */
export interface Took {
  readonly wholeS: number;
  readonly insideS: number | null;
  /** Processor time, user and system, of all its threads. */
  readonly cpuS: number;
  readonly peakMb: number;
  readonly check: readonly number[];
  readonly stdout: string;
}

/** Runs a program to its end. Its time, memory and processor time are those of `/usr/bin/time`. */
export function run(program: readonly string[]): Took {
  const began = performance.now();
  const ran = spawnSync('/usr/bin/time', ['-f', '@%e %U %S %M', ...program], {
    cwd: ROOT,
    encoding: 'utf8',
    maxBuffer: 1 << 28,
    env: { ...process.env, PATH: `${join(ROOT, 'node_modules/.bin')}:${process.env['PATH']}` },
  });
  const wholeS = (performance.now() - began) / 1000;
  const measured = /@(\S+) (\S+) (\S+) (\d+)\s*$/.exec(ran.stderr ?? '');
  if (ran.status !== 0 || measured === null)
    throw new Error(`${program.join(' ')} ended with ${ran.status}: ${ran.stderr ?? String(ran.error)}`);
  const said = /^\{.*"(?:check|seconds)".*\}$/m.exec(ran.stdout)?.[0];
  const { seconds = null, check = [] } =
    said === undefined ? {} : (JSON.parse(said) as { seconds?: number; check?: number[] });
  return {
    wholeS,
    insideS: seconds,
    cpuS: Number(measured[2]) + Number(measured[3]),
    peakMb: Number(measured[4]) / 1024,
    check,
    stdout: ran.stdout,
  };
}

/** Runs programs in turns; one round before the first is not counted. */
export function inTurns(
  rounds: number,
  ...programs: readonly ((round: number) => readonly string[])[]
): Took[][] {
  const took: Took[][] = programs.map(() => []);
  for (let round = 0; round <= rounds; round++)
    programs.forEach((program, k) => {
      const one = run(program(round));
      if (round > 0) took[k]!.push(one);
    });
  return took;
}

export interface Spread {
  readonly median: number;
  readonly least: number;
  readonly most: number;
}

export function spreadOf(values: readonly number[]): Spread {
  const sorted = values.toSorted((a, b) => a - b);
  const half = sorted.length >> 1;
  const median = sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
  return { median, least: sorted[0]!, most: sorted.at(-1)! };
}

/** True where two programs came to the same numbers, apart from rounding. */
export function agree(ours: readonly number[], theirs: readonly number[], within = 1e-6): boolean {
  return (
    ours.length === theirs.length &&
    ours.every((value, k) => Math.abs(value - theirs[k]!) <= within * Math.max(1, Math.abs(theirs[k]!)))
  );
}
