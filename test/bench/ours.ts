/**
 * The steps of `peers.py` by the program's own code, and three that have another peer or none:
 * `read DAY TRIALS`, `force DAY TRIALS`, `pool OUT DATASET…`, `process DAY OUT`, `samples DAY TRIALS OUT`, `again DAY LAB`
 * (a day brought into a lab folder and shown, then asked for again). Prints JSON {seconds, check}; the seconds leave out
 * the start of the program.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import type { CallInput, CallName, CallOutput } from '../../core/contract/contract.ts';
import type { JobView } from '../../core/contract/views.ts';
import { summarise } from '../../core/findings/groups.ts';
import { numberIn, studyOf } from '../../core/findings/study.ts';
import { handForce, pressureDifference, strokeForce } from '../../core/force/force.ts';
import type { SampledTrace } from '../../core/force/trace.ts';
import { readDatasetFolder } from '../../main/files/datasetfolder.ts';
import { readSampledTrace } from '../../main/files/sampledtrace.ts';
import { makeDataset } from '../../main/lab/days/dataset.ts';
import { samplesParquet } from '../../main/lab/days/samples.ts';
import { makePool } from '../../main/lab/findings/pool.ts';
import { studyTables } from '../../main/lab/findings/study.ts';
import { openLab } from '../../main/lab/lab.ts';

const hand = (column: string) => ({ column, sensor: null, elsewhere: null });
const COLUMNS = {
  time: { kind: 'column', column: 'time', unit: 's' },
  left: hand('L'),
  right: hand('R'),
} as const;
const FILTER = { kind: 'butterworth', order: 2, cutoffHz: 12 } as const;
const ZERO = { startRaw: 32_760, endRaw: 32_770, origin: 'trial' } as const;

interface Step {
  readonly seconds: number;
  readonly check: readonly number[];
}

async function timed(work: () => Promise<readonly number[]>): Promise<Step> {
  const began = performance.now();
  const check = await work();
  return { seconds: (performance.now() - began) / 1000, check };
}

async function traceOf(day: string, k: number): Promise<SampledTrace> {
  const file = `traces/T${String(k + 1).padStart(3, '0')}.csv`;
  const read = await readSampledTrace(join(day, file), file, COLUMNS);
  if (!read.ok) throw new Error(read.error.at(-1)!.reason);
  return read.value.trace;
}

const sum = (values: Float64Array) => {
  let total = 0;
  for (let k = 0; k < values.length; k++) total += values[k]!;
  return total;
};

function read(day: string, trials: number): Promise<Step> {
  return timed(async () => {
    let check = 0;
    for (let k = 0; k < trials; k++) {
      const { startS, count, rateHz, left, right } = await traceOf(day, k);
      check += startS + (count - 1) / rateHz + sum(left!.raw) + sum(right!.raw);
    }
    return [check];
  });
}

function forces({ left, right, rateHz }: SampledTrace): { left: Float64Array; right: Float64Array } {
  const of = (raw: Float64Array) => {
    const kpa = pressureDifference(raw, rateHz, ZERO, { sensitivityRawPerKpa: 2000 }, FILTER);
    if (typeof kpa === 'string') throw new Error(kpa);
    return handForce(kpa, 150);
  };
  return { left: of(left!.raw), right: of(right!.raw) };
}

async function force(day: string, trials: number): Promise<Step> {
  const traces: SampledTrace[] = [];
  for (let k = 0; k < trials; k++) traces.push(await traceOf(day, k));
  return timed(async () => {
    const check = [0, 0, 0];
    for (const trace of traces) {
      const { left, right } = forces(trace);
      for (const series of [left, right])
        for (let k = 0; k < 25; k++) {
          const stroke = strokeForce(series, trace, 0.5 + 1.1 * k, 1.0037 + 1.1 * k);
          if (stroke === 'outside_trace') throw new Error(stroke);
          check[0]! += stroke.impulseNs;
          check[1]! += stroke.meanN;
          check[2]! += stroke.peakN!;
        }
    }
    return check;
  });
}

function pool(out: string, folders: readonly string[]): Promise<Step> {
  return timed(async () => {
    await makePool({ folders, out, lab: null, parquet: false, replace: false });
    const pooled = await readDatasetFolder(out);
    if (!pooled.ok) throw new Error(pooled.error);
    const { trials, tables } = studyOf(studyTables(pooled.value));
    const [group, value] = ['condition', 'velocity_m_s'].map((name) => tables.trials.columns.indexOf(name));
    const groups = Map.groupBy(trials, ({ cells }) => cells[group!]!);
    return [...groups]
      .toSorted(([a], [b]) => (a < b ? -1 : 1))
      .flatMap(([name, own]) => {
        const { n, mean, sd } = summarise(
          name,
          own.flatMap(({ cells }) => numberIn(cells[value!]!) ?? []),
          null,
        );
        return [n, mean!, sd!];
      });
  });
}

function samples(day: string, trials: number, out: string): Promise<Step> {
  mkdirSync(out);
  return timed(async () => {
    for (let k = 0; k < trials; k++) {
      const trace = await traceOf(day, k);
      writeFileSync(
        join(out, `T${String(k + 1).padStart(3, '0')}.parquet`),
        samplesParquet(trace, forces(trace)),
      );
    }
    return [];
  });
}

async function again(day: string, home: string): Promise<Step> {
  const lab = await openLab({ home, sampleFolder: null, version: '0' });
  const ask = async <N extends CallName>(name: N, input: CallInput<N>) => {
    const answer = await lab.carry(name, input);
    if (!answer.ok) throw new Error(answer.error.says);
    return answer.value as CallOutput<N>;
  };
  try {
    await ask('places.allow', { path: day });
    const open = () =>
      timed(async () => {
        let job: JobView = await ask('days.open', { path: day });
        while (job.state === 'running') {
          await setImmediate();
          job = await ask('jobs.get', { job: job.job });
        }
        if (job.day === null) throw new Error(job.error?.says);
        await ask('days.get', { day: job.day });
        return [];
      });
    const [first, second] = [await open(), await open()];
    return { seconds: first.seconds, check: [second.seconds] };
  } finally {
    await lab.close();
  }
}

const [command, first, ...rest] = process.argv.slice(2) as [string, string, ...string[]];
const steps: Readonly<Record<string, () => Promise<Step>>> = {
  read: () => read(first, Number(rest[0])),
  force: () => force(first, Number(rest[0])),
  pool: () => pool(first, rest),
  samples: () => samples(first, Number(rest[0]), rest[1]!),
  again: () => again(first, rest[0]!),
  process: () =>
    timed(async () => {
      await makeDataset({ folder: first, out: rest[0]!, replace: false }, () => undefined);
      return [];
    }),
};
console.log(JSON.stringify(await steps[command]!()));
