/**
 * Analyses of variance: one way (Fisher), Welch 1951, and two ways with interaction by sums of squares of type 2 and 3
 * (Yates 1934; Fox, Applied Regression Analysis, 8.2). Limits of η² from the noncentral F (Steiger 2004).
 */
import { fUpper } from './distributions.ts';
import { residualSquares } from './linear.ts';
import { isDust, meanOf, momentsOf } from './moments.ts';
import { noncentralityOfF } from './noncentral.ts';
import { done } from '../base/refusal.ts';
import { noAnswer, term, type Answer, type Effect, type Group, type Term } from './term.ts';

const NO_SPREAD = 'The values within the groups do not differ; the test divides by their spread.';

/** λ/(λ + df1 + df2 + 1) at both limits; a λ below 0 is 0. */
function shareEffect(
  name: string,
  value: number,
  f: number,
  df1: number,
  df2: number,
  confidence: number,
): Effect {
  const tail = (1 - confidence) / 2;
  const share = (probability: number) => {
    const ncp = noncentralityOfF(f, df1, df2, probability);
    return ncp / (ncp + df1 + df2 + 1);
  };
  return { name, value, limits: { low: share(1 - tail), high: share(tail) } };
}

/** Sums of squares between and within groups, unit squared. */
export function squaresOf(groups: readonly Group[]): { readonly between: number; readonly within: number } {
  const base = groups[0]!.values[0]!;
  const shifted = groups.map(({ values }) => momentsOf(values.map((value) => value - base)));
  const n = shifted.reduce((sum, { n: own }) => sum + own, 0);
  const grand = shifted.reduce((sum, { n: own, mean }) => sum + own * mean, 0) / n;
  return {
    between: shifted.reduce((sum, { n: own, mean }) => sum + own * (mean - grand) ** 2, 0),
    within: shifted.reduce((sum, { squares }) => sum + squares, 0),
  };
}

/** One-way analysis of variance of two or more groups. */
export function anova(groups: readonly Group[], confidence: number): Answer {
  const empty = groups.find(({ values }) => values.length === 0);
  if (empty !== undefined) return noAnswer(`The group "${empty.name}" has no swimmer.`);
  const all = groups.flatMap(({ values }) => values);
  const df1 = groups.length - 1;
  const df2 = all.length - groups.length;
  if (df2 < 1) return noAnswer('No group has more than one swimmer; the test needs spread within groups.');
  const { between, within } = squaresOf(groups);
  if (isDust(Math.sqrt(within / df2), all)) return noAnswer(NO_SPREAD);
  const f = between / df1 / (within / df2);
  return done([
    term({
      statistic: f,
      df1,
      df2,
      p: fUpper(f, df1, df2),
      effect: shareEffect('eta_squared', between / (between + within), f, df1, df2, confidence),
    }),
  ]);
}

/** Welch's analysis of variance, which does not take the spreads as equal (Welch 1951, Biometrika 38:330–336). */
export function welchAnova(groups: readonly Group[]): Answer {
  const small = groups.find(({ values }) => values.length < 2);
  if (small !== undefined)
    return noAnswer(
      `The group "${small.name}" has fewer than two swimmers; this test needs two in each group.`,
    );
  const moments = groups.map(({ values }) => momentsOf(values));
  const flat = groups.find(({ values }, k) => isDust(moments[k]!.sd!, values));
  if (flat !== undefined)
    return noAnswer(
      `The values of the group "${flat.name}" do not differ; the test divides by their spread.`,
    );
  const k = groups.length;
  const base = moments[0]!.mean;
  const weights = moments.map(({ n, variance }) => n / variance!);
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const centre = moments.reduce((sum, { mean }, i) => sum + weights[i]! * (mean - base), 0) / total;
  const spread =
    moments.reduce((sum, { mean }, i) => sum + weights[i]! * (mean - base - centre) ** 2, 0) / (k - 1);
  const loss =
    moments.reduce((sum, { n }, i) => sum + (1 - weights[i]! / total) ** 2 / (n - 1), 0) / (k * k - 1);
  const f = spread / (1 + 2 * (k - 2) * loss);
  const df2 = 1 / (3 * loss);
  return done([term({ statistic: f, df1: k - 1, df2, p: fUpper(f, k - 1, df2) })]);
}

/** A value with its place in both factors, as indices of their levels. */
export interface Placed {
  readonly value: number;
  readonly a: number;
  readonly b: number;
}

/** Sum-to-zero contrasts of a factor, one column per level but the last. */
function contrasts(levels: number, of: readonly number[]): readonly (readonly number[])[] {
  return Array.from({ length: levels - 1 }, (_, level) =>
    of.map((own) => (own === level ? 1 : own === levels - 1 ? -1 : 0)),
  );
}

/**
 * Two-way analysis of variance with interaction.
 * @param names of the two columns; @param levels number of levels of each, at least two
 * @param squares 2: each column after the other, the interaction after both; 3: each after all others
 */
export function anova2(
  placed: readonly Placed[],
  names: readonly [string, string],
  levels: readonly [readonly string[], readonly string[]],
  squares: 2 | 3,
  confidence: number,
): Answer {
  for (const [i, a] of levels[0].entries())
    for (const [j, b] of levels[1].entries())
      if (!placed.some((one) => one.a === i && one.b === j))
        return noAnswer(`No swimmer is in both "${a}" and "${b}"; the test needs one in every cell.`);
  const n = placed.length;
  const [la, lb] = [levels[0].length, levels[1].length];
  const df2 = n - la * lb;
  if (df2 < 1) return noAnswer('No cell has more than one swimmer; the test needs spread within cells.');
  const raw = placed.map(({ value }) => value);
  const centre = meanOf(raw);
  const y = raw.map((value) => value - centre);
  const one = [y.map(() => 1)];
  const a = contrasts(
    la,
    placed.map((own) => own.a),
  );
  const b = contrasts(
    lb,
    placed.map((own) => own.b),
  );
  const ab = a.flatMap((x) => b.map((z) => x.map((value, k) => value * z[k]!)));
  const rss = (...parts: (readonly (readonly number[])[])[]) => residualSquares(parts.flat(), y)!;
  const error = rss(one, a, b, ab);
  if (isDust(Math.sqrt(error / df2), raw)) return noAnswer(NO_SPREAD);
  const additive = rss(one, a, b);
  const [ofA, ofB] =
    squares === 2
      ? [rss(one, b) - additive, rss(one, a) - additive]
      : [rss(one, b, ab) - error, rss(one, a, ab) - error];
  const row = (name: string, own: number, df1: number): Term => {
    const ss = Math.max(0, own);
    const f = ss / df1 / (error / df2);
    return term({
      term: name,
      statistic: f,
      df1,
      df2,
      p: fUpper(f, df1, df2),
      effect: shareEffect('partial_eta_squared', ss / (ss + error), f, df1, df2, confidence),
    });
  };
  return done([
    row(names[0], ofA, la - 1),
    row(names[1], ofB, lb - 1),
    row(`${names[0]}:${names[1]}`, additive - error, (la - 1) * (lb - 1)),
  ]);
}
