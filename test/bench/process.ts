/**
 * Measures `process` on 100 trials of 30 s at 1,000 Hz beside a pandas + scipy script that does the same, in one run:
 * time per trial as a ratio, and the memory of each. It prints; it judges nothing but that both finished.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const PYTHON = '/usr/bin/python3';
const [TRIALS, SECONDS, RATE_HZ] = ['100', '30', '1000'];
const folder = mkdtempSync(join(tmpdir(), 'lanebench-bench-'));
const day = join(folder, 'day');

interface Peer {
  readonly trials: number;
  readonly seconds_per_trial: number;
  readonly max_rss_mb: number;
}

function measure(): boolean {
  if (!existsSync('/usr/lib/python3/dist-packages/pandas')) {
    console.log('The peer needs python3-pandas and python3-scipy; not measured.');
    return true;
  }
  const made = spawnSync(PYTHON, ['test/bench/make_big_day.py', day, TRIALS, SECONDS, RATE_HZ], {
    stdio: 'ignore',
  });
  if (made.status !== 0) return false;
  const ours: number[] = [];
  const theirs: number[] = [];
  let memory = [0, 0];
  for (let round = 0; round < 3; round++) {
    const started = performance.now();
    const run = spawnSync(
      process.execPath,
      ['test/bench/rss.ts', 'process', day, '--out', join(folder, `out-${round}`)],
      { encoding: 'utf8' },
    );
    ours.push((performance.now() - started) / 1000 / Number(TRIALS));
    const peer = spawnSync(PYTHON, ['test/bench/pandas_peer.py', day], { encoding: 'utf8' });
    const rss = /maximum resident set: (\d+) MB/.exec(run.stderr);
    if (rss === null || peer.status !== 0) return false;
    const said = JSON.parse(peer.stdout) as Peer;
    theirs.push(said.seconds_per_trial);
    memory = [Math.max(memory[0]!, Number(rss[1])), Math.max(memory[1]!, said.max_rss_mb)];
  }
  const best = (values: readonly number[]) => Math.min(...values);
  const ms = (value: number) => `${(1000 * value).toFixed(1)} ms`;
  console.log(`${TRIALS} trials of ${SECONDS} s at ${RATE_HZ} Hz, best of ${ours.length} rounds:`);
  console.log(
    `  lanebench process  ${ms(best(ours))} per trial (start and writing included), ${memory[0]} MB at most`,
  );
  console.log(
    `  pandas + scipy     ${ms(best(theirs))} per trial (start not included), ${memory[1]} MB at most`,
  );
  console.log(`  ratio of time per trial ${(best(ours) / best(theirs)).toFixed(2)}`);
  return true;
}

try {
  process.exitCode = measure() ? 0 : 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
