/** The tables of the dataset and how they are printed (formats.md section 3; RFC 4180; Data Package v2). */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { codebook, dataPackage, printTable } from '../../../core/dataset/package.ts';
import { printCell, unguardText } from '../../../core/base/csv.ts';
import { datasetTables, orderRefusals, type DatasetTable } from '../../../core/dataset/dataset.ts';
import type { TrialRow } from '../../../core/dataset/trialfields.ts';
import { readDay } from '../../../core/day/day.ts';
import { assembleDay } from '../../../core/day/book.ts';
import { FLAG_MEANINGS } from '../../../core/stroke/flags.ts';
import type { Refusal } from '../../../core/base/refusal.ts';
import { parseNumber } from '../../../core/base/table.ts';
import { analyseTrial } from '../../../core/trial/trial.ts';
import { textTable, trialInput } from '../build.ts';

const outcome = readDay(
  '{"format":"lanebench-day/1","day":"Day_1","sensors":[{"sensor":"S-01","hand":"left"}]}',
);
if (!outcome.ok) throw new Error(outcome.error.reason);
const book = assembleDay(outcome.value.day, {
  roster: textTable('roster.csv', 'participant,consent,note', 'P1,given,private', 'P2,withdrawn,private'),
  trials: textTable(
    'trials.csv',
    'trial,participant,status,exclusion_reason',
    'T2,P1,excluded,slipped',
    'T1,P1,,',
    'T3,P2,,',
  ),
});
const records = book.trials.map((entry): TrialRow => ({ entry, result: analyseTrial(trialInput()) }));
const refusals: readonly Refusal[] = [
  { file: 'trials.csv', line: 12, field: null, reason: 'b' },
  { file: 'events.csv', line: 9, field: null, reason: 'c' },
  { file: 'trials.csv', line: null, field: null, reason: 'a' },
  { file: 'trials.csv', line: 3, field: null, reason: 'd' },
];
const tables = datasetTables(book, records, refusals);
const named = (name: DatasetTable['name']) => tables.find((table) => table.name === name)!;
const column = (table: DatasetTable, name: string) => {
  const at = table.fields.findIndex((field) => field.name === name);
  return table.rows.map((row) => row[at]);
};

/** The columns of formats.md section 3, as they stand there. */
const COLUMNS = {
  participants:
    'participant,sex,birth_year,height_cm,mass_kg,left_hand_area_cm2,right_hand_area_cm2,hand_area_u_cm2,left_hand_area_u_cm2,right_hand_area_u_cm2,left_hand_area_method,right_hand_area_method,consent,film_consent,film_sharing_consent',
  calibrations:
    'sensor,hand,intercept_raw,sensitivity_raw_per_kpa,sensitivity_u,residual_sd_kpa,nonlinearity_pct_fs,hysteresis_pct_fs,check_start_kpa,check_end_kpa,verdict',
  trials:
    'trial,participant,attempt,condition,status,exclusion_reason,check,check_reason,section_m,section_time_s,velocity_m_s,velocity_m_s_u,cycle_time_s,cycle_time_s_u,stroke_rate_cpm,stroke_length_m,idc_pct,idc_pct_u,idc_left_pct,idc_right_pct,high_hand_s,high_hand_s_u,entry_position,peak_force_left_n,peak_force_left_n_u,peak_force_right_n,peak_force_right_n_u,mean_force_left_n,mean_force_left_n_u,mean_force_right_n,mean_force_right_n_u,impulse_left_ns,impulse_left_ns_u,impulse_right_ns,impulse_right_ns_u,force_symmetry_pct,force_symmetry_pct_u,sync_offset_s,sync_rate,sync_residual_s,zero_shift_left_kpa,zero_shift_right_kpa,strokes_left,strokes_right,strokes_measured,strokes_judged,propulsion_basis,rater,left_sensor,right_sensor,flags',
  strokes:
    'trial,participant,hand,stroke,in_section,entry_position,entry_height_cm,entry_height_cm_u,breath,exclusion_reason,water_entry_s,full_reach_s,hand_below_shoulder_s,propulsion_start_s,shoulder_plane_s,propulsion_end_s,water_exit_s,idc_pct,high_hand_s,high_hand_s_u,entry_catch_pct,pull_pct,push_pct,recovery_pct,peak_force_n,peak_force_n_u,mean_force_n,mean_force_n_u,impulse_ns,impulse_ns_u,flags',
  refused: 'file,line,reason',
};

describe('tables', () => {
  test.each(Object.entries(COLUMNS))('%s has the columns of formats.md, in its order', (name, columns) => {
    const { fields } = named(name as DatasetTable['name']);
    expect(fields.map((field) => field.name).join(',')).toBe(columns);
  });

  test('a swimmer without consent and the roster’s notes are nowhere', () => {
    const text = tables.map(printTable).join('');
    expect(text).not.toMatch(/P2|T3|private/);
    expect(column(named('participants'), 'participant')).toEqual(['P1']);
  });

  test('trials stand in their file’s order; an excluded one is computed like any other', () => {
    expect(column(named('trials'), 'trial')).toEqual(['T2', 'T1']);
    expect(column(named('trials'), 'status')).toEqual(['excluded', 'recorded']);
    const [one, two] = column(named('trials'), 'idc_pct');
    expect(one).toBe(two);
    expect(one).not.toBeNull();
  });

  test('strokes stand by trial, hand and number', () => {
    const keys = named('strokes').rows.map((row) => row.slice(2, 4).join(' '));
    const half = keys.slice(0, keys.length / 2);
    expect(half).toEqual(
      [1, 2, 3, 4, 5, 6].map((n) => `left ${n}`).concat([1, 2, 3, 4, 5, 6].map((n) => `right ${n}`)),
    );
    expect(
      column(named('strokes'), 'in_section')
        .map(String)
        .every((cell) => /^(true|false)$/.test(cell)),
    ).toBe(true);
  });

  test('refusals stand by file, the whole file first, then by line as numbers', () => {
    expect(orderRefusals(refusals).map(({ file, line }) => [file, line])).toEqual([
      ['events.csv', 9],
      ['trials.csv', null],
      ['trials.csv', 3],
      ['trials.csv', 12],
    ]);
    expect(printTable(named('refused'))).toContain('trials.csv,,a\n');
  });

  test('every number has its kind, every quantity its unit', () => {
    for (const { fields, rows } of tables)
      fields.forEach(({ name, type, unit, description }, at) => {
        expect(description).not.toBe('');
        if (/_(s|n|ns|m|kpa|cm|kg|cm2|m_s|pct)(_u)?$/.test(name))
          expect([name, unit]).not.toEqual([name, '']);
        for (const row of rows) {
          const cell = row[at];
          if (cell === null) continue;
          expect([name, typeof cell]).toEqual([name, type === 'integer' ? 'number' : type]);
          if (type === 'integer') expect(Number.isInteger(cell)).toBe(true);
        }
      });
  });

  test('the same input gives the same text', () => {
    const again = datasetTables(book, records, refusals.toReversed());
    expect(again.map(printTable)).toEqual(tables.map(printTable));
  });
});

describe('printing', () => {
  test('every finite double reads back as the same', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
        const printed = printCell(value);
        expect(printed).toMatch(/^-?\d+(\.\d+)?(e[+-]\d+)?$/);
        expect(Number(printed)).toBe(value + 0);
        expect(parseNumber(printed)).toBe(value + 0);
      }),
      { numRuns: 500 },
    );
  });

  test('no rounding, no grouping: 1/3, 1e21, 0.1 + 0.2, 123456789.5', () => {
    expect([1 / 3, 1e21, 0.1 + 0.2, 123456789.5].map(printCell)).toEqual([
      '0.3333333333333333',
      '1e+21',
      '0.30000000000000004',
      '123456789.5',
    ]);
  });

  test('nothing is an empty cell', () =>
    expect([null, true, false, 0].map(printCell)).toEqual(['', 'true', 'false', '0']));

  test('a text that a spreadsheet would run gets one apostrophe, a number never does', () => {
    const texts = ['=1+1', '+a', '-a', '@a', '\ta', '\ra', "'a", 'a=', ' =a', ''];
    expect(texts.map(printCell)).toEqual([
      "'=1+1",
      "'+a",
      "'-a",
      "'@a",
      "'\ta",
      '"\'\ra"',
      "''a",
      'a=',
      ' =a',
      '',
    ]);
    expect([-1.5, -0.25].map(printCell)).toEqual(['-1.5', '-0.25']);
  });

  test('one apostrophe is taken off where it guards what follows, and no other', () =>
    expect(["'=a", "''a", "'a", "'", "'-5", 'a'].map(unguardText)).toEqual([
      '=a',
      "'a",
      "'a",
      "'",
      '-5',
      'a',
    ]));

  test('any text comes back through the apostrophe and RFC 4180 quoting', () => {
    fc.assert(
      fc.property(fc.array(fc.string({ unit: 'grapheme' }), { minLength: 1, maxLength: 4 }), (cells) => {
        expect(parseRecord(cells.map(printCell).join(',')).map(unguardText)).toEqual(cells);
      }),
      { numRuns: 200 },
    );
    fc.assert(
      fc.property(fc.stringMatching(/^[a",\r\n]{0,8}$/), (cell) => {
        expect(parseRecord(`${printCell(cell)},z`).map(unguardText)).toEqual([cell, 'z']);
      }),
      { numRuns: 200 },
    );
  });
});

/** One record by the grammar of RFC 4180 section 2: quoted or bare fields between commas. */
function parseRecord(record: string): string[] {
  const cells: string[] = [];
  const field = /(?:"((?:[^"]|"")*)"|([^",\r\n]*))(,|$)/y;
  for (;;) {
    const found = field.exec(record);
    if (found === null) throw new Error(`no record: ${record}`);
    cells.push(found[1] === undefined ? found[2]! : found[1].replaceAll('""', '"'));
    if (found[3] === '') return cells;
  }
}

describe('datapackage.json', () => {
  const files = new Map(
    tables.map(({ name }) => [name, { path: `${name}.csv`, bytes: 10, sha256: 'ab'.repeat(32) }]),
  );
  const described = dataPackage('Day_1', '0.1.0', tables, files) as {
    $schema: string;
    name: string;
    resources: {
      name: string;
      path: string;
      type: string;
      hash: string;
      schema: {
        missingValues: string[];
        fields: { name: string; type: string; unit?: string; description: string }[];
      };
    }[];
  };

  test('is a Data Package: resources with unique names, a path each, a schema with unique fields (Data Package v2)', () => {
    expect(described.$schema).toBe('https://datapackage.org/profiles/2.0/datapackage.json');
    expect(described.name).toMatch(/^[-a-z0-9._/]+$/);
    const names = described.resources.map(({ name }) => name);
    expect(new Set(names).size).toBe(5);
    for (const { name, path, type, hash, schema } of described.resources) {
      expect([path, type]).toEqual([`${name}.csv`, 'table']);
      expect(hash).toMatch(/^sha256:[0-9a-f]{64}$/);
      expect(schema.missingValues).toEqual(['']);
      expect(new Set(schema.fields.map((field) => field.name)).size).toBe(schema.fields.length);
    }
  });

  test('each field has its unit and description', () => {
    const trials = described.resources.find(({ name }) => name === 'trials')!;
    expect(trials.schema.fields.find(({ name }) => name === 'velocity_m_s')).toMatchObject({
      type: 'number',
      unit: 'm/s',
    });
    expect(trials.schema.fields.every(({ description }) => description.length > 0)).toBe(true);
    expect(trials.schema.fields.find(({ name }) => name === 'flags')).not.toHaveProperty('unit');
  });
});

test('the codebook names every field and every flag', () => {
  const text = codebook('Day_1', '0.1.0', tables);
  for (const { fields } of tables) for (const { name } of fields) expect(text).toContain(`| ${name} |`);
  for (const [flag, meaning] of FLAG_MEANINGS) expect(text).toContain(`| ${flag} | ${meaning} |`);
  expect(text.endsWith('\n')).toBe(true);
});
