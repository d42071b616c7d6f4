/** The small study that comes along: valid datasets, made again to the same bytes, answered with what was put in. */
import { execFile } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { expect, test } from 'vitest';
import { readFolder, records, tempFolder } from '../files/day-builder.ts';
import { packageFaults } from '../lab/findings/packagerules.ts';
import { compareHere, NODE, ROOT } from './run.ts';

const STUDY = join(ROOT, 'sample-sessions/small-study');
const PATIENCE = 120_000;

const NUMPY = `import sys, glob, os, numpy as np, pandas as pd
units = pd.read_csv(sys.argv[1] + '/units.csv', keep_default_na=False)
plan = {n: q for n, q in enumerate(dict.fromkeys(pd.read_csv(sys.argv[1] + '/tests.csv')['question']), 1)}
files = sorted(glob.glob(sys.argv[1] + '/figures/*-distribution.csv')); differ = 0
for file in files:
    bins = pd.read_csv(file, keep_default_na=False)
    own = units[units['question'] == plan[int(os.path.basename(file)[:2])]]
    for group, rows in bins.groupby('group'):
        values = own['value'] if group == '' else own[own['group'] == group]['value']
        edges = np.append(rows['from'].to_numpy(float), float(rows['below'].iloc[-1]))
        counts, _ = np.histogram(values.to_numpy(float), edges)
        differ += int(list(counts) != list(rows['count']) or counts.sum() != len(values))
print(f'{len(files)} figures, {differ} differ')`;

test(
  'is made by its script to the same bytes, under 2 MB, and keeps the rules of the standard',
  { timeout: PATIENCE },
  async () => {
    const again = join(await tempFolder(), 'study');
    await promisify(execFile)(NODE, [join(ROOT, 'sample-sessions/make/study.ts'), again]);
    const [made, kept] = [await readFolder(again), await readFolder(STUDY)];
    expect(made).toEqual(kept);
    expect([...kept.values()].reduce((sum, text) => sum + text.length, 0)).toBeLessThan(2e6);
    for (const name of ['2026-05-09', '2026-05-16', '2026-05-23', 'pool'])
      expect(packageFaults(join(STUDY, name)), name).toEqual([]);
  },
);

test(
  'gives the README’s figure, and limits that hold the differences that were put in',
  { timeout: PATIENCE },
  async () => {
    const out = join(await tempFolder(), 'results');
    const ran = await compareHere(join(STUDY, 'pool'), join(STUDY, 'plan.json'), out);
    expect(ran.status).toBe(0);
    expect(readFileSync(join(out, 'figures/01-entry.svg'), 'utf8')).toBe(
      readFileSync(join(ROOT, 'sample-sessions/pictures/study.svg'), 'utf8'),
    );
    const effects = JSON.parse(readFileSync(join(STUDY, 'effects.json'), 'utf8')) as {
      idc_pct: { mean: Record<'above' | 'level', number>; within_swimmer_sd: number };
      mean_force_n: { paddles: number };
    };
    const rows = records(readFileSync(join(out, 'tests.csv'), 'utf8'));
    const holds = (question: string, term: string, value: number) => {
      const row = rows.find((own) => own['question'] === question && own['term'] === term)!;
      expect(Number(row['estimate_low']), question).toBeLessThan(value);
      expect(Number(row['estimate_high']), question).toBeGreaterThan(value);
    };
    const { above, level } = effects.idc_pct.mean;
    holds('entry', '', above - level);
    holds('paddles', '', effects.mean_force_n.paddles);
    holds('from day to day', 'typical_error', effects.idc_pct.within_swimmer_sd);
    // Every histogram counts the values of units.csv as numpy does between the same edges (the last, closed one is past all).
    const counted = await promisify(execFile)('/usr/bin/python3', ['-c', NUMPY, out]);
    expect(counted.stdout.trim()).toBe('5 figures, 0 differ');
    const summary = readFileSync(join(out, 'summary.md'), 'utf8');
    // What has no unit is given none; a slope has that of both numbers.
    expect(summary).toMatch(/ICC\(2,1\): 0\.\d+ \[/);
    expect(summary).toMatch(/Slope: \d\.\d+ m\/s per m \[/);
    expect(summary).toMatch(/Fisher's exact test; exploratory/);
  },
);
