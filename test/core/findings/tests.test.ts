/** What the tests of findings do at their edges; numbers by hand or by R where a source is named. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { anova, welchAnova } from '../../../core/findings/anova.ts';
import { chiSquare, fisher } from '../../../core/findings/contingency.ts';
import { pearson, regression, spearman } from '../../../core/findings/correlation.ts';
import { mixed } from '../../../core/findings/mixed.ts';
import {
  noncentralF,
  noncentralityOfF,
  noncentralityOfT,
  noncentralT,
} from '../../../core/findings/noncentral.ts';
import { kruskal, mannWhitney, wilcoxon } from '../../../core/findings/ranktests.ts';
import { rankSumChances, signedRankChances } from '../../../core/findings/ranks.ts';
import { repeatability } from '../../../core/findings/repeatability.ts';
import type { Answer, Group, Term } from '../../../core/findings/term.ts';
import { equivalence, paired, student, welch } from '../../../core/findings/ttests.ts';

const group = (name: string, ...values: number[]): Group => ({ name, values });

function rows(answer: Answer): readonly Term[] {
  if (!answer.ok) throw new Error(answer.error);
  return answer.value;
}

function why(answer: Answer): string {
  return answer.ok ? 'answered' : answer.error;
}

describe('what cannot be computed is a sentence', () => {
  const [one, two, flat] = [group('a', 1), group('b', 1, 2), group('c', 3, 3, 3)];
  test.each([
    ['welch, a group of one', welch(one, two, 0.95), /"a" has one swimmer/],
    ['student, a group of none', student(group('x'), two, 0.95), /"x" has no swimmer/],
    ['welch, no spread', welch(flat, group('d', 4, 4), 0.95), /do not differ/],
    ['equivalence, no spread', equivalence(flat, flat, 1, 0.95), /do not differ/],
    ['paired, one pair', paired([1], [2], 0.95), /one pair/],
    [
      'paired, the same difference but for rounding',
      paired([0.3, 0.4, 0.5], [0.1, 0.2, 0.3], 0.95),
      /all the same/,
    ],
    ['wilcoxon, zeros alone', wilcoxon([1, 2], [1, 2], 0.95), /all 0/],
    ['mann_whitney, an empty group', mannWhitney(group('x'), two, 0.95), /"x" has no swimmer/],
    ['mann_whitney, one value', mannWhitney(flat, group('d', 3), 0.95), /All values are the same/],
    ['kruskal, one value', kruskal([flat, group('d', 3)]), /All values are the same/],
    ['anova, groups of one', anova([one, group('b', 2)], 0.95), /No group has more than one/],
    ['anova, no spread', anova([flat, group('d', 4, 4)], 0.95), /do not differ/],
    ['welch_anova, a group of one', welchAnova([one, two]), /fewer than two/],
    ['welch_anova, a flat group', welchAnova([flat, two]), /"c" do not differ/],
    ['pearson, two pairs', pearson([1, 2], [1, 2], 0.95), /needs three/],
    ['pearson, flat', pearson([1, 1, 1], [1, 2, 3], 0.95), /do not differ/],
    ['regression, without scatter', regression([1, 2, 3], [2, 4, 6], 0.95), /straight line/],
    ['spearman, in perfect order', spearman([1, 2, 3, 4], [1, 4, 9, 16]), /straight line/],
    ['repeatability, one swimmer', repeatability([[1, 2]], 0.95), /two such swimmers/],
    [
      'repeatability, no spread',
      repeatability(
        [
          [1, 1],
          [2, 2],
        ],
        0.95,
      ),
      /one value/,
    ],
    [
      'chi_square, an empty row',
      chiSquare({
        rows: ['a', 'b'],
        columns: ['c', 'd'],
        cells: [
          [0, 0],
          [1, 2],
        ],
      }),
      /"a"/,
    ],
    [
      'fisher, an empty column',
      fisher(
        {
          rows: ['a', 'b'],
          columns: ['c', 'd'],
          cells: [
            [3, 0],
            [1, 0],
          ],
        },
        0.95,
      ),
      /"d"/,
    ],
    [
      'mixed, one trial each',
      mixed([[{ value: 1, group: 0 }], [{ value: 2, group: 1 }]], ['a', 'b'], 0.95),
      /two trials/,
    ],
  ])('%s', (_, answer, says) => expect(why(answer)).toMatch(says));
});

describe('at the edges', () => {
  test('one swimmer in a group will do for ranks and for analysis of variance', () => {
    expect(rows(mannWhitney(group('a', 5), group('b', 1, 2, 3), 0.95))[0]!.p).toBeCloseTo(0.5, 12);
    expect(rows(anova([group('a', 5), group('b', 1, 2, 3)], 0.95))[0]!.df2).toBe(2);
    expect(rows(kruskal([group('a', 5), group('b', 1, 2, 3)]))[0]!.df1).toBe(1);
  });
  test('three pairs of values have no limits', () =>
    expect(rows(pearson([1, 2, 3], [1, 3, 2], 0.95))[0]!.effect!.limits).toBeNull());
  test('two pairs have an effect of 0: the factor of one degree of freedom is 0', () =>
    expect(rows(paired([1, 3], [0, 1], 0.95))[0]!.effect!.value).toBe(0));
  test('exact ranks stop at 50 and where there is a tie', () => {
    const list = (from: number, count: number) => Array.from({ length: count }, (_, k) => from + 3 * k);
    const of = (m: number, n: number) =>
      rows(mannWhitney(group('a', ...list(0, m)), group('b', ...list(1, n)), 0.95))[0]!;
    expect(of(49, 49).notes).toEqual(['exact']);
    expect(of(50, 4).notes).toEqual(['normal_approximation']);
    expect(rows(mannWhitney(group('a', 1, 2), group('b', 2, 3), 0.95))[0]!.limits).toBeNull();
    expect(rows(wilcoxon([1, 5, 9], [1, 2, 3], 0.95))[0]!.notes).toEqual([
      'normal_approximation',
      'zeros_dropped: 1',
    ]);
  });
  test('of two one-sided tests the one nearer to 0 is told, outside the margin too', () => {
    const row = rows(equivalence(group('a', 10, 11, 12), group('b', 1, 2, 3), 1, 0.95))[0]!;
    expect(row.p).toBeGreaterThan(0.99);
    expect(row.statistic).toBeGreaterThan(0);
    expect(row.effect).toBeNull();
  });
  test('a variance between swimmers that would be negative is 0, with a note', () => {
    const people = [1, -1, 2, -2, 3, -3].map((value, k) => [
      { value: 10 + value, group: k % 2 },
      { value: 10 - value, group: k % 2 },
    ]);
    const all = rows(mixed(people, ['a', 'b'], 0.95));
    const sd = all.find(({ term }) => term === 'participant_sd')!;
    expect(sd).toMatchObject({ estimate: 0, notes: ['at_bound'] });
    // With that variance 0 the residual is that of the groups' means: 56 over 12 − 2 degrees of freedom.
    expect(all.at(-1)!.estimate).toBeCloseTo(Math.sqrt(5.6), 10);
    expect(all[0]!.df1).toBe(4);
  });
});

describe('balanced trials: REML is the analysis of variance (Searle, Casella & McCulloch 1992, 4.3)', () => {
  test('variances are those of the mean squares', () => {
    const people = [
      [1, 2, 4],
      [7, 8, 8],
      [3, 5, 4],
      [9, 6, 8],
    ];
    const all = rows(
      mixed(
        people.map((own, k) => own.map((value) => ({ value, group: k % 2 }))),
        ['a', 'b'],
        0.95,
      ),
    );
    const means = people.map((own) => own.reduce((sum, value) => sum + value, 0) / 3);
    const within =
      people
        .flatMap((own, k) => own.map((value) => (value - means[k]!) ** 2))
        .reduce((sum, own) => sum + own, 0) / 8;
    const groupMean = (g: number) => (means[g]! + means[g + 2]!) / 2;
    const between = (3 * means.reduce((sum, own, k) => sum + (own - groupMean(k % 2)) ** 2, 0)) / 2;
    const of = (name: string) => all.find(({ term }) => term === name)!.estimate!;
    expect(of('residual_sd') ** 2).toBeCloseTo(within, 9);
    expect(of('participant_sd') ** 2).toBeCloseTo((between - within) / 3, 9);
  });
});

describe('laws', () => {
  const places = fc.double({ min: -20, max: 20, noNaN: true });
  const freedoms = fc.double({ min: 1, max: 300, noNaN: true });
  test('the noncentrality of t puts t at its quantile', () => {
    fc.assert(
      fc.property(places, freedoms, fc.constantFrom(0.025, 0.5, 0.975), (t, df, probability) => {
        const ncp = noncentralityOfT(t, df, probability)!;
        expect(Math.abs(noncentralT(t, df, ncp) - probability)).toBeLessThan(1e-11);
      }),
      { numRuns: 25 },
    );
  }, 120_000);
  test('a noncentral t on the other side is the complement', () => {
    fc.assert(
      fc.property(places, freedoms, places, (t, df, ncp) => {
        expect(Math.abs(noncentralT(t, df, ncp) + noncentralT(-t, df, -ncp) - 1)).toBeLessThan(1e-11);
      }),
      { numRuns: 40 },
    );
  }, 120_000);
  test('the square of a noncentral t is a noncentral F', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 15, noNaN: true }),
        freedoms,
        fc.double({ min: 0.1, max: 15, noNaN: true }),
        (t, df, ncp) => {
          const inside = noncentralT(t, df, ncp) - noncentralT(-t, df, ncp);
          expect(Math.abs(noncentralF(t * t, 1, df, ncp * ncp) - inside)).toBeLessThan(1e-9);
        },
      ),
      { numRuns: 40 },
    );
  }, 120_000);
  test('a small F far below its noncentrality keeps its digits', () => {
    // SciPy 1.10, scipy.stats.ncf.cdf(t * t, 1, df, ncp * ncp).
    const [t, df, ncp] = [0.10012146367119326, 60.1979069631537, 4.873545214847449];
    expect(noncentralF(t * t, 1, df, ncp * ncp) / 5.750807255996414e-7).toBeCloseTo(1, 9);
  });
  test('the noncentrality of F is 0 where it would be below, else puts F at its quantile', () => {
    expect(noncentralityOfF(0.1, 2, 27, 0.975)).toBe(0);
    const ncp = noncentralityOfF(6, 2, 27, 0.025);
    expect(noncentralF(6, 2, 27, ncp)).toBeCloseTo(0.025, 12);
  });
  test('exact chances add to 1 and are symmetric', () => {
    for (const chances of [rankSumChances(7, 11), rankSumChances(49, 49), signedRankChances(49)]) {
      expect(chances.reduce((sum, chance) => sum + chance, 0)).toBeCloseTo(1, 12);
      for (let k = 0; k < chances.length; k++)
        expect(Math.abs(chances[k]! - chances.at(-1 - k)!)).toBeLessThanOrEqual(1e-12 * chances[k]!);
    }
  });
  test('a larger table of counts has the chance of its 2 × 2 part beside an equal column', () => {
    // Freeman & Halton on 2 × 3: by hand, all tables with these margins (2, 2 | 1, 1, 2).
    const cells = [
      [1, 1, 0],
      [0, 0, 2],
    ];
    // Chances 1/6, 1/6, and 4 × 1/6 over two tables of 2/6: the observed and its mirror are the least probable.
    expect(rows(fisher({ rows: ['a', 'b'], columns: ['x', 'y', 'z'], cells }, 0.95))[0]!.p).toBeCloseTo(
      1 / 3,
      12,
    );
  });
});
