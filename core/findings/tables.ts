/** The tables of a comparison's results: fields with their descriptions, and rows. formats.md section 4. */
import type { Cell } from '../base/csv.ts';
import type { Finding, Results, TestRow } from './compare.ts';
import type { GroupSummary } from './groups.ts';
import type { Unit } from './units.ts';

export interface ResultField {
  readonly name: string;
  readonly type: 'string' | 'integer' | 'number';
  readonly unit: string;
  readonly description: string;
}

export interface ResultTable {
  readonly name: 'tests' | 'groups' | 'units' | 'refused';
  readonly title: string;
  readonly fields: readonly ResultField[];
  readonly rows: readonly (readonly Cell[])[];
}

type Tuple<T> = readonly [string, ResultField['type'], string, (row: T) => Cell];

function table<T>(
  name: ResultTable['name'],
  title: string,
  columns: readonly Tuple<T>[],
  rows: readonly T[],
): ResultTable {
  return {
    name,
    title,
    fields: columns.map(([field, type, description]) => ({ name: field, type, unit: '', description })),
    rows: rows.map((row) => columns.map(([, , , of]) => of(row))),
  };
}

/** The columns that make the groups, as one cell. */
const byOf = ({ answered }: TestRow) => answered.by.join(':');

const TESTS: readonly Tuple<TestRow>[] = [
  ['question', 'string', 'Id of the question', ({ answered }) => answered.question.id],
  ['kind', 'string', 'planned or exploratory', ({ answered }) => answered.question.kind],
  ['test', 'string', 'Name of the test', ({ answered }) => answered.question.test],
  ['outcome', 'string', 'Column compared', ({ answered }) => answered.question.outcome ?? ''],
  ['term', 'string', 'Which row of the test; empty for tests of one row', ({ term }) => term.term],
  ['n', 'integer', 'Participants, pairs or trials in the test', ({ n }) => n],
  ['left_out', 'integer', 'Kept, but not in n; notes says why', ({ leftOut }) => leftOut],
  ['statistic', 'number', 'The test’s statistic', ({ term }) => term.statistic],
  ['df1', 'number', 'Degrees of freedom of t or χ², first of F', ({ term }) => term.df1],
  ['df2', 'number', 'Second degrees of freedom of F', ({ term }) => term.df2],
  ['p', 'number', 'Two-sided p, of equivalence the larger one-sided', ({ term }) => term.p],
  ['p_adjusted', 'number', 'Adjusted for all questions of its kind', ({ pAdjusted }) => pAdjusted],
  ['effect', 'string', 'Name of the effect size', ({ term }) => term.effect?.name ?? ''],
  ['effect_value', 'number', 'Effect size', ({ term }) => term.effect?.value ?? null],
  [
    'effect_low',
    'number',
    'Lower confidence limit of the effect',
    ({ term }) => term.effect?.limits?.low ?? null,
  ],
  [
    'effect_high',
    'number',
    'Upper confidence limit of the effect',
    ({ term }) => term.effect?.limits?.high ?? null,
  ],
  ['estimate', 'number', 'Estimate, in the unit of the outcome', ({ term }) => term.estimate],
  [
    'estimate_low',
    'number',
    'Lower confidence limit of the estimate',
    ({ term }) => term.limits?.low ?? null,
  ],
  [
    'estimate_high',
    'number',
    'Upper confidence limit of the estimate',
    ({ term }) => term.limits?.high ?? null,
  ],
  [
    'shared_u',
    'number',
    'Standard uncertainty that all compared values share in proportion',
    ({ sharedU }) => sharedU,
  ],
  [
    'notes',
    'string',
    'Why some were left out, what the groups do not share, how it was computed',
    ({ notes }) => notes.join('; '),
  ],
  ['by', 'string', 'Columns that make the groups', byOf],
  ['on', 'string', 'Column it is held against', ({ answered }) => answered.question.on ?? ''],
];

interface OfQuestion<T> {
  readonly question: string;
  readonly own: T;
}

const GROUPS: readonly Tuple<OfQuestion<GroupSummary>>[] = [
  ['question', 'string', 'Id of the question', ({ question }) => question],
  ['group', 'string', 'Group; A:B for two columns, empty without groups', ({ own }) => own.group],
  ['n', 'integer', 'Units in the group', ({ own }) => own.n],
  ['mean', 'number', 'Mean', ({ own }) => own.mean],
  ['sd', 'number', 'Standard deviation, n − 1', ({ own }) => own.sd],
  ['median', 'number', 'Median', ({ own }) => own.median],
  ['q1', 'number', 'Lower quartile, type 7', ({ own }) => own.q1],
  ['q3', 'number', 'Upper quartile, type 7', ({ own }) => own.q3],
  ['min', 'number', 'Least value', ({ own }) => own.min],
  ['max', 'number', 'Largest value', ({ own }) => own.max],
  ['mean_low', 'number', 'Lower confidence limit of the mean', ({ own }) => own.meanLow],
  ['mean_high', 'number', 'Upper confidence limit of the mean', ({ own }) => own.meanHigh],
];

const UNITS: readonly Tuple<OfQuestion<Unit>>[] = [
  ['question', 'string', 'Id of the question', ({ question }) => question],
  ['participant', 'string', 'Code of the swimmer', ({ own }) => own.participant],
  ['day', 'string', 'Day of the trial; empty for a mean over trials', ({ own }) => own.day],
  ['trial', 'string', 'Trial; empty for a mean over trials', ({ own }) => own.trial],
  ['group', 'string', 'Group in the first column', ({ own }) => own.group ?? ''],
  ['group_2', 'string', 'Group in the second column', ({ own }) => own.group2 ?? ''],
  ['value', 'number', 'Value of the outcome', ({ own }) => own.value],
  ['on', 'number', 'Value it is held against', ({ own }) => own.on],
];

function perQuestion<T>(
  findings: readonly Finding[],
  of: (one: Finding) => readonly T[],
): readonly OfQuestion<T>[] {
  return findings.flatMap((one) => of(one).map((own) => ({ question: one.answered.question.id, own })));
}

/** tests.csv, groups.csv, units.csv and refused.csv. */
export function resultTables({ findings, refused }: Results): readonly ResultTable[] {
  return [
    table(
      'tests',
      'Answers',
      TESTS,
      findings.flatMap(({ rows }) => rows),
    ),
    table(
      'groups',
      'Groups',
      GROUPS,
      perQuestion(findings, ({ groups }) => groups),
    ),
    table(
      'units',
      'Values compared',
      UNITS,
      perQuestion(findings, ({ answered }) => answered.compared.units),
    ),
    table(
      'refused',
      'Questions left out',
      [
        ['file', 'string', 'The plan', ({ file }) => file],
        ['line', 'integer', 'Empty', ({ line }) => line],
        ['reason', 'string', 'Question and reason', ({ reason }) => reason],
      ],
      refused,
    ),
  ];
}
