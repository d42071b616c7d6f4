/** What is handed over is read by others: by rule (Data Package v2), in Python, R and DuckDB, by SciPy and MNE. */
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { beforeAll, describe, expect, test } from 'vitest';
import { exportRelease } from '../../../../main/lab/findings/exportrelease.ts';
import { findResource } from '../../../../main/lab/resources.ts';
import { freezeRelease } from '../../../../main/lab/findings/freeze.ts';
import { compareHere, poolHere, processHere } from '../../cli/run.ts';
import { buildDay, dayJson, records, tempFolder, traceSamples } from '../../files/day-builder.ts';
import { steadily, testLab, valueOf } from '../support.ts';
import { packageFaults } from './packagerules.ts';

const PATIENCE = 180_000;
/** Of the second trial: no whole number of samples per second. */
const ODD_RATE = 99.87;

/** Two days; T2 is sampled at an odd rate, lacks a stretch of samples, and carries text that must be guarded. */
async function aDay(day: string): Promise<string> {
  const lines = traceSamples().map(([, left, right], k) => {
    const gone = k >= 300 && k < 304;
    return `${(0.25 + k / ODD_RATE).toFixed(6)},${gone ? '' : left},${right}\n`;
  });
  return buildDay({
    'day.json': dayJson((own) => (own['day'] = day)),
    'traces/T2.csv': `time,L,R\n${lines.join('')}`,
    'trials.csv': (text) =>
      text.replace('recorded,\n', 'excluded,"=wrong, ""he"" said\nand left"\n').replace('sprint', '-paddles'),
  });
}

let out = '';

test(
  'a release of two days is written whole',
  async () => {
    const lab = await testLab();
    for (const day of ['d1', 'd2']) await lab.bring(await aDay(day));
    valueOf(await freezeRelease(lab.session, { name: 'R1', days: null }, steadily()));
    out = join(await tempFolder(), 'out');
    const wish = {
      samples: true,
      parquet: true,
      curves: true,
      matlab: true,
      edf: true,
      coarseBirthYear: false,
      notes: true,
    };
    const outcome = await exportRelease(lab.session, { name: 'R1', out, wish, replace: false }, steadily());
    expect(outcome.kind).toBe('written');
    // From the trial's screen the same files come, whose content SciPy and MNE read below.
    const [day] = lab.session.store.listDays();
    for (const kind of ['mat', 'edf'])
      for (const trial of ['T1', 'T2']) {
        const frozen = readFileSync(join(out, 'recordings', `day=${day!.day}`, `${trial}.${kind}`));
        const own = await findResource(lab.session, `/trial-file/${day!.id}/${trial}.${kind}`);
        if (own?.kind !== 'bytes') throw new Error(`There is no ${trial}.${kind}.`);
        expect(Buffer.from(own.bytes).equals(frozen), `${trial}.${kind}`).toBe(true);
      }
    expect(await findResource(lab.session, `/trial-file/${day!.id}/T99.mat`)).toBeNull();
  },
  PATIENCE,
);

function python(program: string, ...args: string[]): unknown {
  const text = execFileSync('/usr/bin/python3', ['-c', program, ...args], { encoding: 'utf8' });
  return JSON.parse(text.trim().split('\n').at(-1)!);
}

describe('the Data Package', () => {
  test(
    'of a release, a dataset, a pool and a comparison keeps the rules of the standard',
    async () => {
      expect(packageFaults(out)).toEqual([]);
      const place = await tempFolder();
      const at = (name: string) => join(place, name);
      expect((await processHere(await aDay('d1'), at('dataset'))).status).toBe(0);
      expect((await poolHere([at('dataset')], at('pool'))).status).toBe(0);
      const questions = [{ id: 'q', outcome: 'velocity_m_s', on: 'stroke_rate_cpm', test: 'pearson' }];
      const own = [{ id: 'n', counts: ['sex', 'status'], test: 'chi_square' }];
      const keep = { status: ['accepted', 'recorded', 'excluded'] };
      writeFileSync(
        at('plan.json'),
        JSON.stringify({ format: 'lanebench-plan/1', keep, questions: [...questions, ...own] }),
      );
      expect((await compareHere(at('pool'), at('plan.json'), at('results'))).status).toBe(3);
      for (const name of ['dataset', 'pool', 'results']) expect(packageFaults(at(name)), name).toEqual([]);
    },
    PATIENCE,
  );

  test('is told apart from one that breaks a rule', async () => {
    const folder = await tempFolder();
    execFileSync('cp', ['-r', `${out}/.`, folder]);
    const text = readFileSync(join(folder, 'trials.csv'), 'utf8');
    writeFileSync(join(folder, 'trials.csv'), text.replace(/^(d2,T1,P01,)1,/m, '$1one,'));
    expect(packageFaults(folder).join()).toMatch(/hash is.*attempt is "one"/);
    await rm(folder, { recursive: true });
  });
});

describe('the loaders', () => {
  const SUMS = {
    trials: ['velocity_m_s', 'idc_pct', 'attempt'],
    strokes: ['peak_force_n'],
    curves: ['force_n'],
  };
  type Read = Readonly<Record<string, readonly [number, ...number[]]>>;

  /** Rows and sums as DuckDB reads the CSV. */
  async function duckRead(): Promise<Read> {
    const duck = await (await DuckDBInstance.create(':memory:')).connect();
    const read: Record<string, [number, ...number[]]> = {};
    for (const [name, columns] of Object.entries(SUMS)) {
      const sums = columns.map((column) => `sum(${column}::double)`).join(', ');
      const rows = await duck.runAndReadAll(
        `select count(*)::double, ${sums} from read_csv('${out}/${name}.csv')`,
      );
      read[name] = rows.getRows()[0]! as unknown as [number, ...number[]];
    }
    return read;
  }

  function expectSame(read: Read, duck: Read): void {
    for (const [name, [rows, ...sums]] of Object.entries(duck)) {
      expect(read[name]![0], name).toBe(rows);
      sums.forEach((sum, k) => expect(read[name]![k + 1]! / sum, `${name} ${k}`).toBeCloseTo(1, 12));
    }
  }

  test(
    'read every table in Python, with DuckDB’s counts and sums and the texts as they were',
    async () => {
      const read = python(
        `import sys, json; sys.path.insert(0, sys.argv[1]); from load import load
tables = load(sys.argv[1])
sums = json.loads(sys.argv[2])
t = tables["trials"]
print(json.dumps({"read": {n: [len(tables[n])] + [float(tables[n][c].sum()) for c in cs] for n, cs in sums.items()},
  "reason": list(t["exclusion_reason"].dropna()), "condition": t["condition"][0], "types": [str(t["attempt"].dtype), str(tables["strokes"]["in_section"].dtype)],
  "missing": int(t["high_hand_s"].isna().sum()), "names": sorted(tables)}))`,
        out,
        JSON.stringify(SUMS),
      ) as { read: Read; reason: string[]; condition: string; types: string[]; names: string[] };
      expectSame(read.read, await duckRead());
      expect(read.reason).toEqual(Array(2).fill('=wrong, "he" said\nand left'));
      expect(read.condition).toBe('-paddles');
      expect(read.types).toEqual(['Int64', 'boolean']);
      expect(read.names).toEqual(['calibrations', 'curves', 'participants', 'refused', 'strokes', 'trials']);
    },
    PATIENCE,
  );

  test(
    'read every table in base R likewise',
    async () => {
      const script = `source(file.path(commandArgs(TRUE)[1], "load.R")); t <- load_tables(commandArgs(TRUE)[1])
f <- function(n, cs) sprintf('"%s":[%s]', n, paste(c(nrow(t[[n]]), sapply(cs, function(c) sprintf("%.17g", sum(t[[n]][[c]], na.rm = TRUE)))), collapse = ","))
cat("{", paste(${Object.entries(SUMS)
        .map(([name, columns]) => `f("${name}", c(${columns.map((c) => `"${c}"`).join()}))`)
        .join()}, sep = ","), ',"condition":["', t$trials$condition[1], '"], "logical":[', as.integer(is.logical(t$strokes$in_section)), "]}", sep = "")`;
      const file = join(await tempFolder(), 'read.R');
      writeFileSync(file, script);
      const text = execFileSync('Rscript', [file, out], { encoding: 'utf8' });
      const read = JSON.parse(text) as Read & { condition: readonly string[]; logical: readonly number[] };
      expectSame(read, await duckRead());
      expect([read.condition, read.logical]).toEqual([['-paddles'], [1]]);
    },
    PATIENCE,
  );

  test(
    'run as they are, by a stranger',
    () => {
      const said = [
        execFileSync('/usr/bin/python3', [join(out, 'load.py')], { encoding: 'utf8' }),
        execFileSync('Rscript', ['load.R'], { cwd: out, encoding: 'utf8' }),
      ];
      for (const text of said) expect(text.split('\n').map((line) => line.trim())).toContain('trials 4');
    },
    PATIENCE,
  );

  test(
    'tables as Parquet have DuckDB’s counts and sums of the CSV',
    async () => {
      const duck = await (await DuckDBInstance.create(':memory:')).connect();
      const of = async (from: string) =>
        (
          await duck.runAndReadAll(`select count(*), sum(velocity_m_s), sum(mean_force_left_n) from ${from}`)
        ).getRowsJson();
      expect(await of(`read_parquet('${out}/tables/trials/*/*.parquet', hive_partitioning = true)`)).toEqual(
        await of(`read_csv('${out}/trials.csv')`),
      );
      const samples = await duck.runAndReadAll(
        `select count(*), count(left_raw), max(time_s) from read_parquet('${out}/samples/day=d1/T2.parquet')`,
      );
      expect(samples.getRowsJson()).toEqual([['800', '796', expect.closeTo(0.25 + 799 / ODD_RATE, 5)]]);
    },
    PATIENCE,
  );
});

const READ_MAT = `import json, sys, numpy as np; from scipy.io import loadmat
m = loadmat(sys.argv[1], squeeze_me=True)
e, u, t = m["events"], m["units"], m["trial"]
f = lambda s, n: s[n].item()
num = lambda a: [None if np.isnan(x) else float(x) for x in np.atleast_1d(a)]
print(json.dumps({"time": num(m["time_s"]), "left": num(m["left_raw"]), "force": num(m["left_force_n"]),
  "units": {n: str(f(u, n)) for n in u.dtype.names}, "events": [[float(a), str(b), int(c), str(d)] for a, b, c, d in zip(f(e, "time_s"), f(e, "hand"), f(e, "stroke"), f(e, "event"))],
  "trial": str(f(t, "trial")), "participant": str(f(t, "participant")), "rate": float(f(t, "rate_hz")), "date": str(f(t, "date"))}))`;

const READ_EDF = `import json, sys, warnings; warnings.simplefilter("ignore"); import mne
raw = mne.io.read_raw_edf(sys.argv[1], preload=True, verbose="ERROR")
print(json.dumps({"rate": raw.info["sfreq"], "names": raw.ch_names, "data": {n: list(map(float, raw.get_data(picks=[n])[0])) for n in raw.ch_names},
  "notes": [[float(a["onset"]), float(a["duration"]), str(a["description"])] for a in raw.annotations], "date": str(raw.info["meas_date"])}))`;

interface Mat {
  readonly time: readonly number[];
  readonly left: readonly (number | null)[];
  readonly force: readonly number[];
  readonly units: Readonly<Record<string, string>>;
  readonly events: readonly (readonly [number, string, number, string])[];
  readonly trial: string;
  readonly participant: string;
  readonly rate: number;
  readonly date: string;
}

interface Edf {
  readonly rate: number;
  readonly names: readonly string[];
  readonly data: Readonly<Record<string, readonly number[]>>;
  readonly notes: readonly (readonly [number, number, string])[];
  readonly date: string;
}

describe.each([
  ['T1', 100, 0],
  ['T2', ODD_RATE, 0.25],
])('trial %s at %d Hz', (trial, rate, startS) => {
  let mat: Mat;
  let edf: Edf;
  const file = (kind: string) => join(out, 'recordings', 'day=d1', `${trial}.${kind}`);

  beforeAll(() => {
    mat = python(READ_MAT, file('mat')) as Mat;
    edf = python(READ_EDF, file('edf')) as Edf;
  }, PATIENCE);

  test('is read by SciPy with the samples of the trace, its events and units', () => {
    const trace = traceSamples();
    expect(mat.left).toEqual(
      trace.map(([, left], k) => (trial === 'T2' && k >= 300 && k < 304 ? null : left)),
    );
    mat.time.forEach((time, k) => expect(time).toBeCloseTo(startS + k / rate, 5));
    expect(mat.rate).toBeCloseTo(rate, 3);
    expect([mat.trial, mat.date]).toEqual([trial, '2026-03-14']);
    expect(mat.units).toMatchObject({
      time_s: 's',
      left_raw: 'count',
      left_force_n: 'N',
      right_force_n: 'N',
    });
    const strokes = records(readFileSync(join(out, 'strokes.csv'), 'utf8')).filter(
      (row) => row['day'] === 'd1' && row['trial'] === trial,
    );
    for (const [time, hand, stroke, event] of mat.events) {
      const row = strokes.find((own) => own['hand'] === hand && own['stroke'] === String(stroke))!;
      expect(Number(row[`${event}_s`])).toBe(time);
    }
    expect(mat.events).toHaveLength(2 * 4 * 7);
  });

  test('is read by MNE within the range over 65,535, at its rate, with its annotations', () => {
    expect(edf.rate / mat.rate).toBeCloseTo(1, 6);
    expect(edf.names).toEqual(['Raw left', 'Raw right', 'Force left', 'Force right']);
    expect(edf.date).toMatch(/^2026-03-14/);
    for (const [name, values] of [
      ['Raw left', mat.left],
      ['Force left', mat.force],
    ] as const) {
      const known = values.flatMap((value) => value ?? []);
      const range = Math.max(...known) - Math.min(...known);
      values.forEach((value, k) => {
        if (value === null) return;
        expect(Math.abs(edf.data[name]![k]! - value), `${name} ${k}`).toBeLessThanOrEqual(range / 65_535);
      });
    }
    const marks = edf.notes.filter(([, , text]) => !/^missing|^last/.test(text));
    expect(marks).toHaveLength(mat.events.length);
    marks.forEach(([onset, , text], k) => {
      const [time, hand, stroke, event] = mat.events[k]!;
      expect(onset).toBeCloseTo(time - startS, 5);
      expect(text).toBe(`${event} ${hand} ${stroke}`);
    });
    const missing = edf.notes.filter(([, , text]) => text === 'missing left_raw');
    expect(missing).toEqual(
      trial === 'T2'
        ? [[expect.closeTo(300 / rate, 4), expect.closeTo(4 / rate, 4), 'missing left_raw']]
        : [],
    );
    expect(edf.notes.at(-1)).toEqual([expect.closeTo(799 / rate, 4), 0, 'last sample']);
  });
});

describe('force curves over the cycle', () => {
  test(
    'are the mean of the cycles that count, point by point, as numpy interpolates them',
    () => {
      const rows = records(readFileSync(join(out, 'curves.csv'), 'utf8')).filter(
        (row) => row['day'] === 'd1' && row['trial'] === 'T1' && row['hand'] === 'left',
      );
      expect(rows.map((row) => Number(row['cycle_pct']))).toEqual(Array.from({ length: 101 }, (_, k) => k));
      const strokes = records(readFileSync(join(out, 'strokes.csv'), 'utf8')).filter(
        (row) => row['day'] === 'd1' && row['trial'] === 'T1' && row['hand'] === 'left',
      );
      const starts = strokes.map((row) => Number(row['propulsion_start_s']));
      const counting = strokes.slice(0, -1).flatMap((row, k) => (row['in_section'] === 'true' ? [k] : []));
      const mean = python(
        `import json, sys, numpy as np; from scipy.io import loadmat
m = loadmat(sys.argv[1], squeeze_me=True); s = json.loads(sys.argv[2]); c = json.loads(sys.argv[3])
k = np.array([np.interp(np.linspace(s[i], s[i+1], 101), m["time_s"], m["left_force_n"]) for i in c])
print(json.dumps([k.mean(0).tolist(), k.std(0, ddof=1).tolist()]))`,
        join(out, 'recordings', 'day=d1', 'T1.mat'),
        JSON.stringify(starts),
        JSON.stringify(counting),
      ) as [number[], number[]];
      rows.forEach((row, k) => {
        expect(Number(row['force_n'])).toBeCloseTo(mean[0][k]!, 9);
        expect(Number(row['force_sd_n'])).toBeCloseTo(mean[1][k]!, 9);
        expect(Number(row['cycles'])).toBe(counting.length);
      });
    },
    PATIENCE,
  );
});

test('the methods paragraph says what protocol, sensors and program say', () => {
  const text = readFileSync(join(out, 'METHODS.md'), 'utf8');
  expect(text).toContain(
    'On 2 testing days (2026-03-14) 4 swimmer visits gave 4 trials of front crawl over 20 m',
  );
  expect(text).toContain('a section of 10 m (standard uncertainty 0.02 m), from 10 m to 0 m');
  expect(text).toContain('low-pass Butterworth filter of order 2');
  expect(text).toContain('at 12 Hz');
  expect(text).toContain('at 99.87 to 100 Hz');
  expect(text).toContain('Lanebench 1.2.3');
});
