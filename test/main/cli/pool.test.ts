/** `pool` joins datasets; Parquet is read back by DuckDB and hyparquet with the counts and sums of the CSV. */
import { cp, mkdtemp, readFile, readdir, rename, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { asyncBufferFromFile, parquetReadObjects } from 'hyparquet';
import { beforeAll, describe, expect, test } from 'vitest';
import { DATASET_FIELDS } from '../../../core/dataset/dataset.ts';
import { records } from '../files/day-builder.ts';
import { DAYS, inventStudy, writeDataset } from '../lab/findings/studybuilder.ts';
import { lanebench, poolHere, processHere, SAMPLE } from './run.ts';

const PATIENCE = 120_000;

let folder = '';
const at = (...names: string[]) => join(folder, ...names);
const table = async (pool: string, name: string) => records(await readFile(at(pool, `${name}.csv`), 'utf8'));

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'lanebench-pool-'));
  const tables = inventStudy(12, 5);
  const refused = [
    { day: DAYS[1], file: 'trials.csv', line: 3, reason: 'status is "x", and "no, it is not"' },
  ];
  for (const day of DAYS) await writeDataset(at(day), day, { ...tables, refused });
}, PATIENCE);

describe('datasets of three days', () => {
  beforeAll(async () => {
    const ran = await poolHere([at(DAYS[2]), at(DAYS[0]), at(DAYS[1])], at('pool'), { parquet: true });
    expect(ran).toMatchObject({ status: 0, stderr: '' });
    expect(ran.stdout).toMatch(/3 days, 12 swimmers, 36 trials written/);
  }, PATIENCE);

  test('stand by day in code order, then as in their dataset, with a first column day', async () => {
    for (const name of ['participants', 'calibrations', 'trials', 'strokes', 'refused'] as const) {
      const text = await readFile(at('pool', `${name}.csv`), 'utf8');
      const columns = DATASET_FIELDS[name].map((field) => field.name);
      expect(text.split('\n')[0]).toBe(['day', ...columns].join());
      const single = await Promise.all(
        DAYS.map(async (day) => (await table(day, name)).map((row) => ({ day, ...row }))),
      );
      expect(records(text)).toEqual(single.flat());
    }
  });

  test('are described by a Data Package with keys, and keep each provenance', async () => {
    const described = JSON.parse(await readFile(at('pool', 'datapackage.json'), 'utf8')) as {
      resources: { name: string; schema: { primaryKey?: string[] } }[];
    };
    const keys = Object.fromEntries(described.resources.map(({ name, schema }) => [name, schema.primaryKey]));
    expect(keys).toEqual({
      participants: ['day', 'participant'],
      calibrations: ['day', 'sensor'],
      trials: ['day', 'trial'],
      strokes: ['day', 'trial', 'hand', 'stroke'],
      refused: undefined,
    });
    const { days } = JSON.parse(await readFile(at('pool', 'provenance.json'), 'utf8')) as { days: object };
    expect(Object.keys(days)).toEqual([...DAYS]);
  });

  test('give the same bytes from another folder, in another order, and pooled once more', async () => {
    await cp(at(DAYS[0]), at('elsewhere', 'renamed'), { recursive: true });
    await poolHere([at('elsewhere', 'renamed'), at(DAYS[1]), at(DAYS[2])], at('again'));
    await poolHere([at('pool'), at(DAYS[1])], at('once more'));
    for (const name of await readdir(at('again'))) {
      const text = await readFile(at('pool', name), 'utf8');
      expect(await readFile(at('again', name), 'utf8'), name).toBe(text);
      expect(await readFile(at('once more', name), 'utf8'), name).toBe(text);
    }
  });

  test(
    'are read from Parquet by DuckDB with the counts and sums of the CSV',
    async () => {
      const duck = await (await DuckDBInstance.create(':memory:')).connect();
      const count = async (from: string, sums: readonly string[]) => {
        const columns = sums.map((name) => `count(${name}), sum((${name})::double)`).join(', ');
        const query = `select day::varchar, count(*), ${columns} from ${from} group by day order by 1`;
        return (await duck.runAndReadAll(query)).getRowsJson();
      };
      const sums = {
        participants: ['height_cm', 'left_hand_area_cm2'],
        calibrations: ['sensitivity_raw_per_kpa'],
        trials: ['attempt', 'velocity_m_s', 'idc_pct', 'mean_force_left_n'],
        strokes: ['stroke', 'peak_force_n', 'in_section::int'],
      } as const;
      for (const [name, own] of Object.entries(sums)) {
        const parquet = `read_parquet('${at('pool', 'tables', name)}/*/*.parquet', hive_partitioning = true, hive_types = {'day': varchar})`;
        const csv = `read_csv('${at('pool', `${name}.csv`)}', types = {'day': 'varchar'})`;
        expect(await count(parquet, own), name).toEqual(await count(csv, own));
      }
    },
    PATIENCE,
  );

  test('are read from Parquet by hyparquet cell by cell', async () => {
    const file = await asyncBufferFromFile(
      at('pool', 'tables', 'trials', `day=${DAYS[1]}`, 'part-0.parquet'),
    );
    const rows = await parquetReadObjects({ file });
    const cell = (value: unknown) => (value === null ? '' : String(value));
    const mine = rows.map((row) =>
      Object.fromEntries(Object.entries(row).map(([name, value]) => [name, cell(value)])),
    );
    expect(mine).toEqual(await table(DAYS[1], 'trials'));
  });

  test(
    'can be compared',
    async () => {
      const plan = at('plan.json');
      const questions = [{ id: 'q', outcome: 'velocity_m_s', by: 'sex', test: 'welch' }];
      await writeFile(plan, JSON.stringify({ format: 'lanebench-plan/1', questions }));
      const ran = await lanebench(['compare', at('pool'), '--plan', plan, '--out', at('found')]);
      expect(ran).toMatchObject({ status: 0, stderr: '' });
      const [row] = await table('found', 'tests');
      expect(Number(row!['shared_u'])).toBeCloseTo(0.002 * Math.abs(Number(row!['estimate'])), 12);
    },
    PATIENCE,
  );
});

describe('what cannot be pooled', () => {
  test('two datasets of one day that differ: neither is taken, both are named, 3', async () => {
    await cp(at(DAYS[0]), at('other'), { recursive: true });
    const trials = at('other', 'trials.csv');
    await writeFile(trials, (await readFile(trials, 'utf8')).replace('sprint', 'paddles'));
    const ran = await poolHere([at(DAYS[0]), at('other'), at(DAYS[1])], at('differ'));
    expect(ran.status).toBe(3);
    const refused = await table('differ', 'refused');
    expect(refused.map((row) => [row['day'], row['file'], row['line']])).toEqual([
      [DAYS[1], 'trials.csv', '3'],
      [DAYS[0], DAYS[0], ''],
      [DAYS[0], 'other', ''],
    ]);
    expect(refused[1]!['reason']).toMatch(/differ.*none of the day is taken/);
    expect(new Set((await table('differ', 'trials')).map((row) => row['day']))).toEqual(new Set([DAYS[1]]));
  });

  test('a copy of a dataset counts once, 0', async () => {
    await cp(at(DAYS[0]), at('copy'), { recursive: true });
    expect((await poolHere([at(DAYS[0]), at('copy')], at('copies'))).status).toBe(0);
    expect(await table('copies', 'trials')).toHaveLength(12);
  });

  test('a missing column is named with its table, with the day, 3; alone 1', async () => {
    await cp(at(DAYS[2]), at('old'), { recursive: true });
    const strokes = at('old', 'strokes.csv');
    await writeFile(strokes, (await readFile(strokes, 'utf8')).replace('breath', 'breathing'));
    expect((await poolHere([at('old'), at(DAYS[1])], at('partly'))).status).toBe(3);
    expect((await table('partly', 'refused')).at(-1)).toMatchObject({ day: DAYS[2], file: 'old' });
    expect((await table('partly', 'refused')).at(-1)!['reason']).toMatch(/strokes\.csv has no column breath/);
    const alone = await poolHere([at('old')], at('nothing'));
    expect(alone.status).toBe(1);
    expect(alone.stderr).toMatch(/breath/);
    expect(await readdir(folder)).not.toContain('nothing');
  });

  test('a folder that is no dataset is named, the rest is pooled, 3', async () => {
    const ran = await poolHere([SAMPLE, at('nowhere'), at(DAYS[0])], at('some'));
    expect(ran.status).toBe(3);
    expect((await table('some', 'refused')).map((row) => row['file'])).toEqual([
      'harbour-morning',
      'nowhere',
    ]);
  });

  test('a lab prefixes codes; a participant whose code grows too long is left out alone, a day whole', async () => {
    await cp(at(DAYS[0]), at('long'), { recursive: true });
    const long = 'P'.repeat(60);
    for (const name of ['participants', 'trials', 'strokes']) {
      const file = at('long', `${name}.csv`);
      await writeFile(file, (await readFile(file, 'utf8')).replaceAll(/(?<=^|,)P001(?=,)/gm, long));
    }
    const ran = await poolHere([at('long'), at(DAYS[1])], at('lab'), { lab: 'North' });
    expect(ran.status).toBe(3);
    const trials = await table('lab', 'trials');
    expect(trials).toHaveLength(21);
    expect(
      trials.every(
        (row) => row['participant']!.startsWith('North.P') && row['day']!.startsWith('North.2026'),
      ),
    ).toBe(true);
    expect(trials[0]!['trial']).toMatch(/^P/);
    expect((await table('lab', 'refused')).at(-1)).toMatchObject({
      day: `North.${DAYS[0]}`,
      file: 'participants.csv',
    });
    const none = await poolHere([at(DAYS[0])], at('none'), { lab: 'N'.repeat(60) });
    expect(none.status).toBe(1);
    expect(none.stderr).toMatch(/71 characters, and 64 are the most/);
  });

  test('a code that is two people in two labs is asked about; with a lab each they are two', async () => {
    await cp(at(DAYS[1]), at('south'), { recursive: true });
    const people = at('south', 'participants.csv');
    // P002 of the second day is called as a swimmer of the first, and of the other sex.
    const [head, ...rows] = (await readFile(people, 'utf8')).trimEnd().split('\n');
    const [first] = await table(DAYS[0], 'participants');
    const cells = rows[0]!.split(',');
    cells[0] = first!['participant']!;
    cells[head!.split(',').indexOf('sex')] = first!['sex'] === 'male' ? 'female' : 'male';
    await writeFile(people, `${[head, cells.join(','), ...rows.slice(1)].join('\n')}\n`);
    const ran = await poolHere([at(DAYS[0]), at('south')], at('two labs'));
    expect(ran.status).toBe(0);
    expect(ran.stderr).toMatch(
      /^Is this one person\? P\d+ is (fe)?male on [\d-]+ and (fe)?male on .* with --lab NAME first\.\n$/,
    );
    await poolHere([at(DAYS[0])], at('n'), { lab: 'North' });
    await poolHere([at('south')], at('s'), { lab: 'South' });
    const apart = await poolHere([at('n'), at('s')], at('apart'));
    expect([apart.status, apart.stderr]).toEqual([0, '']);
  });

  test(
    'wrong usage: 2',
    async () => {
      expect((await poolHere([at(DAYS[0])], at('x'), { lab: 'No rth' })).status).toBe(2);
      expect((await poolHere([at(DAYS[0])], at(DAYS[0], 'x'))).status).toBe(2);
      expect((await lanebench(['pool', '--out', at('x')])).status).toBe(2);
    },
    PATIENCE,
  );
});

describe('process --samples', () => {
  test(
    'writes each trial with a trace: time, raw values and forces, whose impulse is that of the dataset',
    async () => {
      const out = at('with samples');
      expect((await processHere(SAMPLE, out, false, true)).status).toBe(0);
      const trials = await table('with samples', 'trials');
      const names = (await readdir(join(out, 'samples'))).map((name) => name.replace('.parquet', ''));
      const traced = trials.filter((row) => !row['flags']!.split(';').includes('no_trace'));
      expect(names.toSorted()).toEqual(traced.map((row) => row['trial']!).toSorted());
      const stroke = (await table('with samples', 'strokes')).find(
        (row) => row['hand'] === 'left' && row['peak_force_n'] !== '',
      )!;
      const file = await asyncBufferFromFile(join(out, 'samples', `${stroke['trial']!}.parquet`));
      const rows = (await parquetReadObjects({ file })) as Record<string, number | null>[];
      expect(Object.keys(rows[0]!)).toEqual([
        'time_s',
        'left_raw',
        'right_raw',
        'left_force_n',
        'right_force_n',
      ]);
      const [from, to] = [Number(stroke['propulsion_start_s']), Number(stroke['propulsion_end_s'])];
      const within = rows.filter(({ time_s }) => time_s! >= from - 1e-9 && time_s! <= to + 1e-9);
      const peak = within.reduce((high, row) => Math.max(high, row['left_force_n']!), -Infinity);
      expect(peak).toBe(Number(stroke['peak_force_n']));
    },
    PATIENCE,
  );

  test('leaves no file of a half-written run', async () => {
    await rename(at('with samples'), at('moved'));
    expect((await readdir(folder)).filter((name) => name.includes('lanebench-new'))).toEqual([]);
  });
});
