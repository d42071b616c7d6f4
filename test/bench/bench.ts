/**
 * `npm run bench`: the program beside what a lab would use instead, in one run, on the same files, in turns, results held
 * against one another before anything is timed. Writes SPEED.md and figures.json here, and names what fell by more than a
 * fifth; then how far the default proposal of propulsion lies from film. Nothing is judged by a clock in the tests. `--quick` takes one round and no large days; `--keep` leaves the page.
 */
import { linkSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { manyDatasets } from './manydatasets.ts';
import { defaultRuleReport } from './propulsion.ts';
import { pageOf, type Figures, type Growth, type Ratio } from './page.ts';
import { agree, inTurns, run, spreadOf, type Took } from './rounds.ts';

const PYTHON = '/usr/bin/python3';
const PEERS = ['test/bench/peers.py', 'test/bench/ours.ts'] as const;
const quick = process.argv.includes('--quick');
const ROUNDS = quick ? 1 : 5;
const [TRIALS, SECONDS, RATE_HZ] = [100, 30, 1000];
const SIZES = quick ? [10, 100] : [10, 100, 1000, 5000];
const folder = mkdtempSync(join(tmpdir(), 'lanebench-bench-'));
const day = join(folder, 'day');
const lanebench = ['npm', 'run', '-s', 'lanebench', '--'];

function ratio(name: string, peer: string, wanted: number, ours: Took[], theirs: Took[]): Ratio {
  const inTurn = (of: (took: Took) => number) => ours.map((one, k) => of(theirs[k]!) / of(one));
  const inside = [ours, theirs].flat().every(({ insideS }) => insideS !== null);
  const told = { name, peer, wanted };
  return {
    ...told,
    whole: spreadOf(inTurn(({ wholeS }) => wholeS)),
    inside: inside ? spreadOf(inTurn(({ insideS }) => insideS!)) : null,
    processor: spreadOf(inTurn(({ cpuS }) => cpuS)),
    oursS: spreadOf(ours.map(({ wholeS }) => wholeS)),
    theirsS: spreadOf(theirs.map(({ wholeS }) => wholeS)),
    peakMb: [Math.max(...ours.map(({ peakMb }) => peakMb)), Math.max(...theirs.map(({ peakMb }) => peakMb))],
  };
}

/** One step of `peers.py` beside the same of `ours.ts`. */
function step(
  name: string,
  peer: string,
  wanted: number,
  word: string,
  args: (k: string) => readonly string[],
): Ratio {
  const ours = (round: string) => [process.execPath, PEERS[1], word, ...args(`o${round}`)];
  const theirs = (round: string) => [PYTHON, PEERS[0], word, ...args(`t${round}`)];
  const [a, b] = [run(ours('check')).check, run(theirs('check')).check];
  if (!agree(a, b)) throw new Error(`${name}: ${a.join(' ')} is not ${b.join(' ')}`);
  const [mine, other] = inTurns(
    ROUNDS,
    (k) => ours(String(k)),
    (k) => theirs(String(k)),
  );
  return ratio(name, peer, wanted, mine!, other!);
}

/** The numbers of the peer's script against the same columns of our trials.csv. */
function checkNumbers(dataset: string, numbers: string): void {
  const [head, ...rows] = readFileSync(join(dataset, 'trials.csv'), 'utf8').trimEnd().split('\n');
  const names = head!.split(',');
  const theirs = JSON.parse(readFileSync(numbers, 'utf8')) as Record<string, Record<string, number>>;
  for (const row of rows) {
    const cells = row.split(',');
    const [shared, values] = [theirs[cells[0]!]!, (name: string) => Number(cells[names.indexOf(name)])];
    const alike = [
      'velocity_m_s',
      'cycle_time_s',
      'idc_pct',
      'high_hand_s',
      'peak_force_left_n',
      'impulse_right_ns',
    ];
    if (
      !agree(
        alike.map(values),
        alike.map((name) => shared[name]!),
      )
    )
      throw new Error(`${cells[0]} differs`);
  }
}

function wholeCommand(): Ratio {
  const out = (name: string) => join(folder, name);
  run([...lanebench, 'process', day, '--out', out('checked')]);
  run([PYTHON, 'test/bench/pandas_peer.py', day, out('numbers.json')]);
  checkNumbers(out('checked'), out('numbers.json'));
  const [mine, other] = inTurns(
    ROUNDS,
    (k) => [...lanebench, 'process', day, '--out', out(`whole-${k}`)],
    (k) => [PYTHON, 'test/bench/pandas_peer.py', day, out(`numbers-${k}.json`)],
  );
  const inside = inTurns(ROUNDS, (k) => [process.execPath, PEERS[1], 'process', day, out(`inside-${k}`)])[0]!;
  const ours = mine!.map((took, k) => ({ ...took, insideS: inside[k]!.insideS }));
  return ratio(
    `process, ${TRIALS} trials of ${SECONDS} s at ${RATE_HZ} Hz`,
    'pandas + SciPy script',
    3,
    ours,
    other!,
  );
}

function samples(): Ratio {
  const most = '20';
  const ours = (k: string) => [
    process.execPath,
    PEERS[1],
    'samples',
    day,
    most,
    join(folder, `samples-${k}`),
  ];
  const duck = (k: string) => [
    process.execPath,
    'test/bench/duck.ts',
    'samples',
    day,
    most,
    join(folder, `duck-${k}`),
  ];
  run(ours('check'));
  run(duck('check'));
  const sums = ['samples-check', 'duck-check'].map(
    (name) => run([process.execPath, 'test/bench/duck.ts', 'sums', join(folder, name), most]).check,
  );
  if (!agree(sums[0]!, sums[1]!)) throw new Error(`samples: ${sums.join(' is not ')}`);
  const [mine, other] = inTurns(
    ROUNDS,
    (k) => ours(String(k)),
    (k) => duck(String(k)),
  );
  return ratio(`samples of ${most} trials to Parquet, force filtered in ours`, 'DuckDB', 1, mine!, other!);
}

/** A day of many trials whose traces are links to those of a hundred. */
function growth(): Growth[] {
  return SIZES.map((trials) => {
    const big = join(folder, `big-${trials}`);
    run([
      PYTHON,
      'test/bench/make_big_day.py',
      big,
      String(trials),
      String(SECONDS),
      String(RATE_HZ),
      '100',
      '8',
    ]);
    for (let k = 101; k <= trials; k++) {
      const [of, to] = [((k - 1) % 100) + 1, k].map((n) =>
        join(big, 'traces', `T${String(n).padStart(3, '0')}.csv`),
      );
      if (!existsSync(to!)) linkSync(of!, to!);
    }
    const out = join(folder, `out-${trials}`);
    const [took] = inTurns(trials > 100 ? 1 : ROUNDS, (k) => [
      ...lanebench,
      'process',
      big,
      '--out',
      `${out}-${k}`,
    ]);
    const wholeS = spreadOf(took!.map((one) => one.wholeS)).median;
    const one = {
      trials,
      wholeS,
      msPerTrial: (1000 * wholeS) / trials,
      peakMb: spreadOf(took!.map((t) => t.peakMb)).most,
    };
    rmSync(big, { recursive: true });
    return one;
  });
}

function measure(): Figures {
  run([PYTHON, 'test/bench/make_big_day.py', day, String(TRIALS), String(SECONDS), String(RATE_HZ)]);
  const start = inTurns(
    ROUNDS,
    () => [...lanebench, '--version'],
    () => ['node', '-e', '0'],
    () => [PYTHON, '-c', 'import pandas, scipy.signal'],
    () => ['npm', '-v'],
  ).map((took) => spreadOf(took.map(({ wholeS }) => wholeS)));
  const ratios = [
    wholeCommand(),
    step('trace CSV to arrays, 50 trials', 'pandas, C parser', 2, 'read', () => [day, '50']),
    step('filter, force, stroke numbers, 50 trials', 'numpy + SciPy', 2, 'force', () => [day, '50']),
  ];
  const datasets = manyDatasets(join(folder, 'whole-1'), join(folder, 'many'), 10, 500);
  ratios.push(
    step('pool and group 5,000 trials', 'pandas', 1, 'pool', (k) => [join(folder, `pool-${k}`), ...datasets]),
    samples(),
  );
  const again = inTurns(ROUNDS, (k) => [
    process.execPath,
    PEERS[1],
    'again',
    day,
    join(folder, `lab-${k}`),
  ])[0]!;
  return {
    rounds: ROUNDS,
    start: { ours: start[0]!, node: start[1]!, python: start[2]!, npm: start[3]! },
    ratios,
    again: spreadOf(again.map(({ insideS, check }) => insideS! / check[0]!)),
    growth: growth(),
  };
}

/** Ratios that fell by more than a fifth since the figures that are there. */
function fallen(before: Figures | null, now: Figures): readonly string[] {
  return now.ratios.flatMap(({ name, whole }) => {
    const was = before?.ratios.find((one) => one.name === name)?.whole.median;
    return was !== undefined && whole.median < 0.8 * was
      ? [`FELL: ${name}: ${was.toFixed(2)} times before, ${whole.median.toFixed(2)} now`]
      : [];
  });
}

try {
  mkdirSync(folder, { recursive: true });
  const kept = join(import.meta.dirname, 'figures.json');
  const before = existsSync(kept) ? (JSON.parse(readFileSync(kept, 'utf8')) as Figures) : null;
  const figures = measure();
  const page = pageOf(figures);
  if (!process.argv.includes('--keep')) {
    writeFileSync(kept, `${JSON.stringify(figures, null, 2)}\n`);
    writeFileSync(join(import.meta.dirname, 'SPEED.md'), page);
  }
  console.log(page);
  for (const line of fallen(before, figures)) console.log(line);
  console.log('Propulsion proposed from force, less film: bias ± scatter (invented data)');
  for (const line of await defaultRuleReport()) console.log(line);
} finally {
  rmSync(folder, { recursive: true, force: true });
}
