/** Tests of findings against published values: NIST StRD, R's documentation examples, Shrout & Fleiss, Fisher. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { adjusted } from '../../core/findings/adjust.ts';
import { anova, anova2, squaresOf, welchAnova } from '../../core/findings/anova.ts';
import { chiSquare, fisher } from '../../core/findings/contingency.ts';
import { pearson, regression, spearman } from '../../core/findings/correlation.ts';
import { meanOf, momentsOf, quantileOf } from '../../core/findings/moments.ts';
import { kruskal, mannWhitney, wilcoxon } from '../../core/findings/ranktests.ts';
import { repeatability } from '../../core/findings/repeatability.ts';
import type { Answer, Group, Term } from '../../core/findings/term.ts';
import { hedgesFactor, paired, student, welch } from '../../core/findings/ttests.ts';
import { check, checks, readData } from './values.ts';

/** The rows of an answer that there must be. */
function rows(answer: Answer): readonly Term[] {
  if (!answer.ok) throw new Error(answer.error);
  return answer.value;
}

const group = (name: string, values: readonly number[]): Group => ({ name, values });

/** Matching significant digits, as NIST counts them. */
function digits(actual: number, certified: number): number {
  return actual === certified ? 15 : -Math.log10(Math.abs(actual - certified) / Math.abs(certified));
}

interface Nist {
  readonly univariate: Readonly<
    Record<
      string,
      { certified_mean: string; certified_sd_n_minus_1: string; data?: number[]; data_rule?: string }
    >
  >;
  readonly anova: Readonly<
    Record<string, { certified: Record<string, string | number>; data: Record<string, string[]> }>
  >;
}

const nist = readData<Nist>('nist-strd.json');

/** NIST's NumAcc2 to 4: one value, then 500 pairs below and above it. */
const NUM_ACC: Readonly<Record<string, readonly [number, number, number]>> = {
  NumAcc2: [1.2, 1.1, 1.3],
  NumAcc3: [1000000.2, 1000000.1, 1000000.3],
  NumAcc4: [10000000.2, 10000000.1, 10000000.3],
};

describe('NIST StRD, univariate', () => {
  // The doubles nearest to NumAcc4's values are themselves 8 digits from them in their spread.
  test.each(Object.entries(nist.univariate))(
    '%s',
    (name, { certified_mean, certified_sd_n_minus_1, data }) => {
      const [first, low, high] = NUM_ACC[name] ?? [0, 0, 0];
      const values = data ?? [first, ...Array.from({ length: 500 }, () => [low, high]).flat()];
      const { mean, sd } = momentsOf(values);
      expect(digits(mean, Number(certified_mean))).toBeGreaterThan(14);
      expect(digits(sd!, Number(certified_sd_n_minus_1))).toBeGreaterThan(
        name === 'NumAcc4' ? 8 : name === 'NumAcc3' ? 9 : name === 'Michelso' ? 12.5 : 13,
      );
    },
  );
});

describe('NIST StRD, analysis of variance', () => {
  /** Digits that the doubles nearest to the data leave. */
  const LEAST: Readonly<Record<string, number>> = {
    SiRstv: 12,
    SmLs01: 13,
    AtmWtAg: 8,
    SmLs04: 8.5,
    SmLs07: 2,
  };

  test.each(Object.entries(nist.anova))('%s', (name, { certified, data }) => {
    const groups = Object.entries(data).map(([own, values]) => group(own, values.map(Number)));
    const [row] = rows(anova(groups, 0.95));
    expect(row!.df1).toBe(certified['df_between']);
    expect(row!.df2).toBe(certified['df_within']);
    expect(digits(row!.statistic!, Number(certified['F']))).toBeGreaterThan(LEAST[name]!);
    expect(digits(row!.effect!.value!, Number(certified['r_squared']))).toBeGreaterThan(LEAST[name]!);
    const { between, within } = squaresOf(groups);
    expect(digits(between, Number(certified['ss_between']))).toBeGreaterThan(LEAST[name]!);
    expect(digits(within, Number(certified['ss_within']))).toBeGreaterThan(LEAST[name]!);
  });

  // Simon & Lesage 1989: nine groups, the first value of each in its middle, the others 0.1 to either side in turn;
  // F is the number of values of a group (certified values of the larger sets: from memory).
  const middles = [1.4, 1.3, 1.5, 1.3, 1.4, 1.2, 1.5, 1.4, 1.5];
  const first = nist.anova['SmLs01']!.data;
  test.each([
    ['SmLs02', 201, 0, 12.5],
    ['SmLs03', 2001, 0, 12.5],
    ['SmLs05', 201, 1e6, 8],
    ['SmLs06', 2001, 1e6, 8],
    ['SmLs08', 201, 1e12, 1.5],
    ['SmLs09', 2001, 1e12, 1.5],
  ])('%s by its rule', (_, size, lead, least) => {
    const groups = Object.values(first).map((values, g) => {
      const tenths = values.slice(0, 3).map((value) => Math.round(10 * Number(value)));
      const written = (k: number) => Number(`${lead + Math.floor(tenths[k]! / 10)}.${tenths[k]! % 10}`);
      const list = [
        written(0),
        ...Array.from({ length: (size - 1) / 2 }, () => [written(1), written(2)]).flat(),
      ];
      return group(String(g), list);
    });
    expect(middles).toHaveLength(groups.length);
    const [row] = rows(anova(groups, 0.95));
    expect(digits(row!.statistic!, size)).toBeGreaterThan(least);
  });
});

/** Within a relative room, or an absolute one around 0. */
function near(actual: number | null | undefined, expected: number, room = 1e-9): void {
  expect(actual).toBeTypeOf('number');
  expect(Math.abs(actual! - expected)).toBeLessThanOrEqual(room * Math.max(Math.abs(expected), 1e-3));
}

type Numbers = Record<string, number>;

describe('t tests and effects, R documentation (sleep)', () => {
  const sleep = check<{ g1: number[]; g2: number[] }, Numbers & { ci95: [number, number] }>(
    'statistics.json',
    't.sleep.welch',
  );
  const { g1, g2 } = sleep.inputs;
  test.each([
    ['t.sleep.welch', welch(group('1', g1), group('2', g2), 0.95)],
    ['t.sleep.student', student(group('1', g1), group('2', g2), 0.95)],
    ['t.sleep.paired', paired(g1, g2, 0.95)],
  ])('%s', (id, answer) => {
    const { expected } = check<object, Numbers & { ci95: [number, number] }>('statistics.json', id);
    const [row] = rows(answer);
    near(row!.statistic, expected['t']!);
    near(row!.df1, expected['df']!);
    near(row!.p, expected['p']!);
    near(row!.limits!.low, expected.ci95[0]);
    near(row!.limits!.high, expected.ci95[1]);
  });

  test('Hedges g with the exact factor', () => {
    const { expected } = check<object, Numbers>('statistics.json', 'es.sleep');
    near(rows(student(group('1', g1), group('2', g2), 0.95))[0]!.effect!.value, expected['g_exact']!);
  });

  test.each(
    checks<{ df: number }, { exact: number }>('statistics.json', 'es.J.').map(
      (own) => [own.id, own] as const,
    ),
  )('%s', (_, { inputs, expected }) => near(hedgesFactor(inputs.df), expected.exact));
});

describe('rank tests', () => {
  test('Mann–Whitney, exact: Hollander & Wolfe 1973, p. 69', () => {
    const { inputs, expected } = check<{ x: number[]; y: number[] }, Numbers>('statistics.json', 'mw.hw69');
    const [row] = rows(mannWhitney(group('x', inputs.x), group('y', inputs.y), 0.95));
    expect(row!.statistic).toBe(expected['W_U1']);
    near(row!.p, expected['p_two_exact']!);
    near(row!.effect!.value, expected['rank_biserial']!);
  });
  test('Mann–Whitney, ties: R, airquality', () => {
    const { inputs, expected } = check<{ may: number[]; aug: number[] }, Numbers>(
      'statistics.json',
      'mw.ties',
    );
    const [row] = rows(mannWhitney(group('may', inputs.may), group('aug', inputs.aug), 0.95));
    expect(row!.statistic).toBe(expected['W']);
    near(row!.p, expected['p_two_normal_continuity']!, 1e-8);
    expect(row!.limits).toBeNull();
  });
  test('Wilcoxon, exact: Hollander & Wolfe 1973, p. 29', () => {
    const { inputs, expected } = check<{ x: number[]; y: number[] }, Numbers>(
      'statistics.json',
      'wilcoxon.hw29',
    );
    const [row] = rows(wilcoxon(inputs.x, inputs.y, 0.95));
    expect(row!.statistic).toBe(expected['V']);
    near(row!.p, expected['p_two']!);
  });
  test('Kruskal–Wallis: Hollander & Wolfe 1973, p. 116', () => {
    const { inputs, expected } = check<Record<string, number[]>, Numbers>('statistics.json', 'kruskal.hw');
    const [row] = rows(kruskal(Object.entries(inputs).map(([name, values]) => group(name, values))));
    near(row!.statistic, expected['H']!);
    near(row!.p, expected['p']!);
  });
});

describe('tables of counts', () => {
  const counts = (cells: number[][]) => ({
    rows: cells.map((_, i) => `r${i}`),
    columns: cells[0]!.map((_, j) => `c${j}`),
    cells,
  });
  test.each([
    ['fisher.tea', 'table'],
    ['fisher.twins', 'table_rows'],
  ])('%s (R documentation; whose solver stops early)', (id, key) => {
    const { inputs, expected } = check<Record<string, number[][]>, Numbers & { ci95: [number, number] }>(
      'statistics.json',
      id,
    );
    const [row] = rows(fisher(counts(inputs[key]!), 0.95));
    near(row!.p, expected['p_two']!, 1e-7);
    near(row!.effect!.value, expected['or_conditional']!, 1e-3);
    near(row!.effect!.limits!.low, expected.ci95[0], 1e-2);
    near(row!.effect!.limits!.high, expected.ci95[1], 1e-2);
  });

  /** Chances of the upper left count under an odds ratio, by the definition: C(m, x)·C(n, k − x)·odds^x. */
  const tails = (cells: number[][], odds: number) => {
    const [[a, b], [c, d]] = cells as [[number, number], [number, number]];
    const choose = (all: number, some: number) => {
      let ways = 1;
      for (let i = 1; i <= some; i++) ways = (ways * (all - some + i)) / i;
      return ways;
    };
    const [m, n, k] = [a + c, b + d, a + b];
    const chances = new Map<number, number>();
    for (let x = Math.max(0, k - n); x <= Math.min(k, m); x++)
      chances.set(x, choose(m, x) * choose(n, k - x) * odds ** x);
    const all = [...chances.values()].reduce((sum, chance) => sum + chance, 0);
    const sum = (holds: (x: number) => boolean, weigh: (x: number) => number = () => 1) =>
      [...chances].reduce((total, [x, chance]) => total + (holds(x) ? (weigh(x) * chance) / all : 0), 0);
    return {
      upTo: sum((x) => x <= a),
      from: sum((x) => x >= a),
      mean: sum(
        () => true,
        (x) => x,
      ),
    };
  };
  test.each([
    [
      [
        [3, 1],
        [1, 3],
      ],
    ],
    [
      [
        [2, 15],
        [10, 3],
      ],
    ],
    [
      [
        [12, 5],
        [6, 31],
      ],
    ],
    [
      [
        [1, 20],
        [22, 19],
      ],
    ],
  ])('odds ratio and limits of %j solve their definitions to 10⁻¹²', (cells) => {
    const { value, limits } = rows(fisher(counts(cells), 0.95))[0]!.effect!;
    near(tails(cells, value!).mean, cells[0]![0]!, 1e-12);
    near(tails(cells, limits!.low).from, 0.025, 1e-12);
    near(tails(cells, limits!.high!).upTo, 0.025, 1e-12);
  });
  test('an infinite odds ratio is empty, and so is its upper limit', () => {
    const row = rows(
      fisher(
        counts([
          [5, 0],
          [2, 6],
        ]),
        0.95,
      ),
    )[0]!;
    expect(row.effect).toMatchObject({ value: null, limits: { high: null } });
    expect(row.effect!.limits!.low).toBeGreaterThan(0);
    expect(row.notes).toEqual(['unbounded']);
    expect(
      rows(
        fisher(
          counts([
            [0, 5],
            [6, 2],
          ]),
          0.95,
        ),
      )[0]!.effect,
    ).toMatchObject({ value: 0, limits: { low: 0 } });
  });
  test('job satisfaction, 4 × 4 (Agresti 2002, p. 57)', () => {
    const { inputs, expected } = check<{ table_rows: number[][] }, Numbers>('statistics.json', 'fisher.job');
    near(rows(fisher(counts(inputs.table_rows), 0.95))[0]!.p, expected['p_fisher']!, 1e-9);
    const [row] = rows(chiSquare(counts(inputs.table_rows)));
    near(row!.statistic, expected['chi2']!);
    near(row!.p, expected['p_chi2']!);
  });
  test('party by gender (Agresti 2007, p. 39)', () => {
    const { inputs, expected } = check<{ table_rows: number[][] }, Numbers>('statistics.json', 'chisq.party');
    const [row] = rows(chiSquare(counts(inputs.table_rows)));
    near(row!.statistic, expected['X2']!);
    near(row!.p, expected['p']!);
    near(row!.effect!.value, expected['cramer_v']!);
  });
});

type Factor = Record<string, string | number>;

describe('analyses of variance', () => {
  const growth = check<Record<string, number[]>, { group: Numbers }>('statistics.json', 'anova.plantgrowth');
  const groups = Object.entries(growth.inputs).map(([name, values]) => group(name, values));
  test('PlantGrowth, R documentation', () => {
    const [row] = rows(anova(groups, 0.95));
    near(row!.statistic, growth.expected.group['F']!);
    near(row!.p, growth.expected.group['p']!);
  });
  test('PlantGrowth, Welch', () => {
    const { expected } = check<object, { F: number; df: [number, number]; p: number }>(
      'statistics.json',
      'anova.plantgrowth.welch',
    );
    const [row] = rows(welchAnova(groups));
    near(row!.statistic, expected.F);
    near(row!.df2, expected.df[1]);
    near(row!.p, expected.p);
  });

  const data = readData<Record<string, Factor[]>>('stats-datasets.json');
  test.each([
    ['anova.warpbreaks', 'warpbreaks', 'breaks', 'wool', 'tension', 2],
    ['anova.warpbreaks', 'warpbreaks', 'breaks', 'wool', 'tension', 3],
    ['anova.toothgrowth', 'ToothGrowth', 'len', 'supp', 'dose', 2],
    ['anova.warpU.typeII', 'warpbreaks_unbalanced', 'breaks', 'wool', 'tension', 2],
    ['anova.warpU.typeIII', 'warpbreaks_unbalanced', 'breaks', 'wool', 'tension', 3],
    ['anova.moore.typeII', 'Moore', 'conformity', 'fcategory', 'partner.status', 2],
    ['anova.moore.typeIII', 'Moore', 'conformity', 'fcategory', 'partner.status', 3],
  ] as const)('%s, type of squares last', (id, set, y, a, b, squares) => {
    const { expected } = check<object, Record<string, Numbers>>('statistics.json', id);
    const own = data[set]!;
    const levels = (column: string) => [...new Set(own.map((row) => String(row[column])))];
    const [la, lb] = [levels(a), levels(b)];
    const placed = own.map((row) => ({
      value: Number(row[y]),
      a: la.indexOf(String(row[a])),
      b: lb.indexOf(String(row[b])),
    }));
    for (const row of rows(anova2(placed, [a, b], [la, lb], squares, 0.95))) {
      near(row.statistic, expected[row.term]!['F']!, 1e-8);
      near(row.p, expected[row.term]!['p']!, 1e-7);
      const error = expected['Residuals']!['SS']!;
      const ss = expected[row.term]!['SS']!;
      near(row.effect!.value, ss / (ss + error), 1e-8);
    }
  });
});

describe('correlation and line', () => {
  const data = readData<{ mtcars: Record<string, number[]>; anscombe: Numbers[] }>('stats-datasets.json');
  test('mtcars, R documentation', () => {
    const { expected } = check<object, Numbers & { ci95: [number, number] }>('statistics.json', 'cor.mtcars');
    const { mpg, wt } = data.mtcars as { mpg: number[]; wt: number[] };
    const [row] = rows(pearson(mpg, wt, 0.95));
    near(row!.effect!.value, expected['r']!);
    near(row!.statistic, expected['t']!);
    near(row!.p, expected['p']!);
    near(row!.effect!.limits!.low, expected.ci95[0]);
    near(row!.effect!.limits!.high!, expected.ci95[1]);
    near(rows(spearman(mpg, wt))[0]!.effect!.value, expected['spearman']!);
  });
  test.each([1, 2, 3, 4])('Anscombe 1973, set %i', (k) => {
    const { expected } = check<object, Numbers & { se: [number, number] }>(
      'statistics.json',
      `reg.anscombe${k}`,
    );
    const [x, y] = [data.anscombe.map((row) => row[`x${k}`]!), data.anscombe.map((row) => row[`y${k}`]!)];
    const [intercept, slope] = rows(regression(x, y, 0.95));
    near(intercept!.estimate, expected['b0']!);
    near(slope!.estimate, expected['b1']!);
    near(slope!.effect!.value, expected['r2']!);
    near(intercept!.estimate! / intercept!.statistic!, expected.se[0]);
    near(slope!.estimate! / slope!.statistic!, expected.se[1]);
  });
});

test('intraclass correlations of Shrout & Fleiss 1979, limits by R', () => {
  const { inputs, expected } = check<
    { rows_subjects_cols_judges: number[][] },
    Record<string, { icc: number; lower: number; upper: number }>
  >('statistics.json', 'icc.shrout.full');
  const all = rows(repeatability(inputs.rows_subjects_cols_judges, 0.95));
  for (const [term, key] of [
    ['icc_2_1', 'ICC2'],
    ['icc_3_1', 'ICC3'],
  ] as const) {
    const row = all.find((own) => own.term === term)!;
    near(row.estimate, expected[key]!.icc);
    near(row.limits!.low, expected[key]!.lower, 1e-6);
    near(row.limits!.high!, expected[key]!.upper, 1e-6);
    expect(row.n).toBe(24);
  }
});

test('Holm and Benjamini–Hochberg, R documentation of p.adjust', () => {
  const { inputs, expected } = check<{ p: number[] }, { holm: number[]; BH: number[] }>(
    'statistics.json',
    'padj',
  );
  adjusted(inputs.p, 'holm').forEach((p, k) => near(p, expected.holm[k]!));
  adjusted(inputs.p, 'bh').forEach((p, k) => near(p, expected.BH[k]!));
  expect(adjusted(inputs.p, 'none')).toEqual(inputs.p);
});

test('quartiles, Hyndman & Fan 1996, type 7', () => {
  const { inputs, expected } = check<{ x: number[] }, { type7: number[] }>(
    'statistics.json',
    'quantile.types',
  );
  expect([0.25, 0.5, 0.75].map((p) => quantileOf(inputs.x, p))).toEqual(expected.type7);
});

test('a mean does not depend on the order of its values, so that ties stay ties', () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: -1e6, max: 1e6 }), { minLength: 1, maxLength: 9 }),
      (thousandths) => {
        const values = thousandths.map((value) => value / 1000);
        const mean = meanOf(values);
        expect(meanOf(values.toReversed())).toBe(mean);
        expect(meanOf(values.toSorted((a, b) => a - b))).toBe(mean);
        expect(meanOf(values.map(() => values[0]!))).toBe(values[0]!);
      },
    ),
  );
});
