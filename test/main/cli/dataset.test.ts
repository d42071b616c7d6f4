/** The dataset reads back: columns of formats.md, Data Package v2 and Table Schema, RFC 4180, and the same bytes anywhere. */
import { createHash } from 'node:crypto';
import { cp, readFile, utimes } from 'node:fs/promises';
import { join } from 'node:path';
import Papa from 'papaparse';
import { beforeAll, describe, expect, it } from 'vitest';
import { FLAG_MEANINGS } from '../../../core/stroke/flags.ts';
import { readFolder, records, tempFolder } from '../files/day-builder.ts';
import { COLUMNS } from './columns.ts';
import { lanebench, SAMPLE, type Ran } from './run.ts';

interface PackagedField {
  readonly name: string;
  readonly type: string;
  readonly description: string;
  readonly unit?: string;
}
interface Resource {
  readonly name: string;
  readonly path: string;
  readonly bytes: number;
  readonly hash: string;
  readonly schema: { readonly fields: readonly PackagedField[] };
}

let out = '';
let files: ReadonlyMap<string, string> = new Map();
let ran: Ran;
let resources: readonly Resource[] = [];
beforeAll(async () => {
  out = join(await tempFolder(), 'out');
  ran = await lanebench(['process', SAMPLE, '--out', out]);
  files = await readFolder(out);
  resources = (JSON.parse(files.get('datapackage.json')!) as { resources: Resource[] }).resources;
}, 180_000);

describe('the sample day', () => {
  it('is processed without a refusal', () => {
    expect(ran).toMatchObject({ status: 0, stderr: '' });
    expect(files.get('refused.csv')).toBe('file,line,reason\n');
  });

  it('is summed up on the terminal, a line per trial with units, uncertainties and a check', () => {
    const lines = ran.stdout.split('\n');
    expect(lines[0]).toMatch(/trial +swimmer +check .*m\/s.*\/min.*N/);
    const rows = lines.filter((line) => /^P\d\d-\d /.test(line));
    expect(rows.map((line) => line.slice(0, 5))).toEqual(
      records(files.get('trials.csv')!).map((row) => row['trial']),
    );
    expect(rows).toHaveLength(14);
    expect(rows.find((line) => line.startsWith('P01-1'))).toMatch(/good +1\.6611 ± 0\.0051 /);
    expect(ran.stdout).toMatch(/14 trials written/);
    expect(ran.stdout).toMatch(/consent: 1 swimmer, 2 trials/i);
    for (const line of lines) expect(line).toBe(line.trimEnd());
  });

  it('finds what is wrong on purpose', () => {
    const trials = new Map(records(files.get('trials.csv')!).map((row) => [row['trial'], row]));
    const flags = (trial: string) => trials.get(trial)!['flags']!.split(';');
    expect(flags('P02-2')).toContain('gap');
    expect(flags('P03-2')).toContain('no_trace');
    expect(flags('P04-2')).toContain('zero_from_calibration');
    expect(flags('P05-2')).toContain('saturated');
    expect(flags('P06-2')).toContain('unmarked');
    expect(trials.get('P07-1')!['check']).toBe('swim_again');
    expect(trials.get('P07-2')).toMatchObject({ status: 'excluded' });
    expect(trials.get('P07-2')!['velocity_m_s']).not.toBe('');
    expect(trials.get('P01-1')!['propulsion_basis']).toBe('force');
    expect(Number(trials.get('P07-1')!['zero_shift_left_kpa'])).toBeCloseTo(0.31, 2);
  });

  it('names the swimmer who withdrew nowhere', () => {
    for (const [name, text] of [...files, ['terminal', ran.stdout + ran.stderr]] as const)
      expect(text, name).not.toContain('P08');
  });
});

describe('the files', () => {
  it('have exactly the columns of formats.md, in its order', () => {
    expect([...COLUMNS.keys()].toSorted()).toEqual([
      'calibrations',
      'participants',
      'refused',
      'strokes',
      'trials',
    ]);
    for (const [name, columns] of COLUMNS)
      expect(files.get(`${name}.csv`)!.split('\n')[0], name).toBe(columns.join(','));
  });

  it('are listed by datapackage.json, with the header’s fields, the size and the hash', async () => {
    expect(resources.map(({ path }) => path).toSorted()).toEqual(
      [...files.keys()].filter((name) => name.endsWith('.csv')).toSorted(),
    );
    for (const { path, bytes, hash, schema } of resources) {
      const content = await readFile(join(out, path));
      expect(bytes).toBe(content.length);
      expect(hash).toBe(`sha256:${createHash('sha256').update(content).digest('hex')}`);
      expect(schema.fields.map(({ name }) => name)).toEqual(content.toString().split('\n')[0]!.split(','));
    }
  });

  it('describe every field, with a unit where its name has one', () => {
    for (const { schema } of resources)
      for (const { name, description, unit } of schema.fields) {
        expect(description.length, name).toBeGreaterThan(5);
        if (/_(m|s|m_s|pct|n|ns|kpa|cpm|cm|kg|cm2)(_u)?$/.test(name)) expect(unit, name).toBeTruthy();
      }
  });

  it('hold values of the type that Table Schema states', () => {
    for (const { path, schema } of resources)
      for (const row of records(files.get(path)!))
        for (const { name, type } of schema.fields) {
          const cell = row[name]!;
          if (cell === '') continue;
          if (type === 'number') expect(cell, name).toMatch(/^-?\d+(\.\d+)?(e[+-]?\d+)?$/);
          if (type === 'integer') expect(cell, name).toMatch(/^-?\d+$/);
          if (type === 'boolean') expect(cell, name).toMatch(/^(true|false)$/);
          if (type === 'number') expect(String(Number(cell)), name).toBe(cell);
        }
  });

  it('are RFC 4180 with LF, UTF-8 without a byte order mark, and rows of equal length', async () => {
    for (const path of [...files.keys()].filter((name) => name.endsWith('.csv'))) {
      const text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(
        await readFile(join(out, path)),
      );
      expect(text).not.toMatch(/\r|^\ufeff/);
      expect(text.endsWith('\n')).toBe(true);
      const { data, errors } = Papa.parse<string[]>(text.slice(0, -1), { delimiter: ',' });
      expect(errors).toEqual([]);
      expect(new Set(data.map((row) => row.length)).size, path).toBe(1);
    }
  });

  it('give a reason in flags, from the codebook’s list, for what is empty', () => {
    const known = new Set<string>(FLAG_MEANINGS.map(([flag]) => flag));
    const readme = files.get('README.md')!;
    for (const name of ['trials.csv', 'strokes.csv'])
      for (const row of records(files.get(name)!)) {
        const flags = row['flags'] === '' ? [] : row['flags']!.split(';');
        for (const flag of flags) {
          expect(known.has(flag), flag).toBe(true);
          expect(readme).toContain(`| ${flag} |`);
        }
        const computed = Object.entries(row).filter(([field]) =>
          /idc_pct$|force|impulse|high_hand_s$|_pct$|velocity_m_s$|cycle_time_s$/.test(field),
        );
        if (computed.some(([, cell]) => cell === ''))
          expect(flags.length, JSON.stringify(row)).toBeGreaterThan(0);
      }
  });

  it('hash every input that was used and none other', async () => {
    const { inputs, program, parameters } = JSON.parse(files.get('provenance.json')!) as {
      inputs: { path: string; sha256: string }[];
      program: { name: string; version: string };
      parameters: { day: unknown };
    };
    expect(program.name).toBe('lanebench');
    expect(parameters.day).toMatchObject({ day: 'harbour-morning', protocol: { filter: { cutoff_hz: 12 } } });
    const names = inputs.map(({ path }) => path);
    expect(names).toEqual(names.toSorted());
    for (const name of [
      'day.json',
      'roster.csv',
      'trials.csv',
      'calibration.csv',
      'traces/P02-1.csv',
      'video/P01-1-B.webm',
    ])
      expect(names).toContain(name);
    for (const { path, sha256 } of inputs)
      expect(sha256, path).toBe(
        createHash('sha256')
          .update(await readFile(join(SAMPLE, path)))
          .digest('hex'),
      );
  });
});

describe('the same bytes', () => {
  it('whatever the time zone, the locale, the folder and the clock', async () => {
    const root = await tempFolder();
    const copy = join(root, 'copied day ä');
    await cp(SAMPLE, copy, { recursive: true });
    for (const name of ['day.json', 'traces/P01-1.csv', 'video/P01-2.mp4'])
      await utimes(join(copy, name), new Date(0), new Date(1e12));
    const env = { ...process.env, TZ: 'Asia/Kathmandu', LANG: 'tr_TR.UTF-8', LC_ALL: 'tr_TR.UTF-8' };
    const again = await lanebench(['process', 'copied day ä', '--out', 'other'], { cwd: root, env });
    expect(again.status, again.stderr).toBe(0);
    expect(await readFolder(join(root, 'other'))).toEqual(files);
    expect(again.stdout.replace('to other', `to ${out}`)).toBe(ran.stdout);
  });

  it('show no path, user or time of the machine', () => {
    for (const [name, text] of files) {
      expect(text, name).not.toMatch(/\/tmp\/|\/home\/|\/work\/|[A-Z]:\\/);
      expect(text, name).not.toMatch(/\d\d:\d\d:\d\d/);
    }
  });
});
