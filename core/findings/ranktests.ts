/**
 * Tests on ranks: Mann & Whitney 1947, Wilcoxon 1945, Kruskal & Wallis 1952. Estimates and limits of a shift:
 * Hodges & Lehmann 1963. Rank-biserial correlation: Kerby 2014.
 */
import { chiSquareUpper, normalTwoSided } from './distributions.ts';
import { middleOf } from './moments.ts';
import {
  exactTwoSided,
  meanRanks,
  quantileOfChances,
  rankSumChances,
  signedRankChances,
  tieSum,
  type Chances,
} from './ranks.ts';
import { done } from '../base/refusal.ts';
import { noAnswer, term, type Answer, type Group, type Limits } from './term.ts';

/** Below this many values the distribution is counted, if nothing is tied. */
const EXACT_BELOW = 50;

/** Two-sided p of the normal approximation with a continuity correction of 0.5. */
function approximate(away: number, variance: number): number {
  return normalTwoSided((away - Math.sign(away) * 0.5) / Math.sqrt(variance));
}

/** The k-th from either end, k = max(1, α/2 quantile). */
function orderLimits(sorted: Float64Array, chances: Chances, confidence: number): Limits {
  const k = Math.max(1, quantileOfChances(chances, (1 - confidence) / 2));
  return { low: sorted[k - 1]!, high: sorted[sorted.length - k]! };
}

/** Mann–Whitney test of two independent groups; the estimate is the median of all differences first − second. */
export function mannWhitney(first: Group, second: Group, confidence: number): Answer {
  const [m, n] = [first.values.length, second.values.length];
  if (m === 0 || n === 0)
    return noAnswer(`The group "${m === 0 ? first.name : second.name}" has no swimmer.`);
  const all = [...first.values, ...second.values];
  const ranks = meanRanks(all);
  let rankSum = 0;
  for (let k = 0; k < m; k++) rankSum += ranks[k]!;
  const u = rankSum - (m * (m + 1)) / 2;
  const ties = tieSum(all);
  const total = m + n;
  const variance = ((m * n) / 12) * (total + 1 - ties / (total * (total - 1)));
  if (!(variance > 0)) return noAnswer('All values are the same; ranks need values that differ.');
  const differences = new Float64Array(m * n);
  first.values.forEach((a, i) => second.values.forEach((b, j) => (differences[i * n + j] = a - b)));
  differences.sort();
  const chances = ties === 0 && m < EXACT_BELOW && n < EXACT_BELOW ? rankSumChances(m, n) : null;
  return done([
    term({
      statistic: u,
      p: chances === null ? approximate(u - (m * n) / 2, variance) : exactTwoSided(chances, u),
      effect: { name: 'rank_biserial', value: (2 * u) / (m * n) - 1, limits: null },
      estimate: middleOf(differences),
      limits: chances === null ? null : orderLimits(differences, chances, confidence),
      notes: [chances === null ? 'normal_approximation' : 'exact'],
    }),
  ]);
}

/** Wilcoxon's signed-rank test of pairs, first − second; differences of 0 are dropped. */
export function wilcoxon(first: readonly number[], second: readonly number[], confidence: number): Answer {
  if (first.length === 0) return noAnswer('There is no pair.');
  const differences = first.map((value, k) => value - second[k]!).filter((value) => value !== 0);
  const n = differences.length;
  if (n === 0) return noAnswer('The differences of the pairs are all 0; there is nothing to rank.');
  const zeros = first.length - n;
  const sizes = differences.map(Math.abs);
  const ranks = meanRanks(sizes);
  let v = 0;
  differences.forEach((value, k) => (v += value > 0 ? ranks[k]! : 0));
  const ties = tieSum(sizes);
  const variance = (n * (n + 1) * (2 * n + 1)) / 24 - ties / 48;
  const averages = new Float64Array((n * (n + 1)) / 2);
  let at = 0;
  for (let i = 0; i < n; i++)
    for (let j = i; j < n; j++) averages[at++] = (differences[i]! + differences[j]!) / 2;
  averages.sort();
  const isExact = ties === 0 && zeros === 0 && n < EXACT_BELOW;
  const chances = isExact ? signedRankChances(n) : null;
  const middle = (n * (n + 1)) / 4;
  return done([
    term({
      statistic: v,
      p: chances === null ? approximate(v - middle, variance) : exactTwoSided(chances, v),
      effect: { name: 'rank_biserial', value: (4 * v) / (n * (n + 1)) - 1, limits: null },
      estimate: middleOf(averages),
      limits: chances === null ? null : orderLimits(averages, chances, confidence),
      notes: [isExact ? 'exact' : 'normal_approximation', ...(zeros > 0 ? [`zeros_dropped: ${zeros}`] : [])],
    }),
  ]);
}

/** Kruskal–Wallis test of two or more groups, corrected for ties. */
export function kruskal(groups: readonly Group[]): Answer {
  const empty = groups.find(({ values }) => values.length === 0);
  if (empty !== undefined) return noAnswer(`The group "${empty.name}" has no swimmer.`);
  const all = groups.flatMap(({ values }) => values);
  const n = all.length;
  const spread = 1 - tieSum(all) / (n ** 3 - n);
  if (!(spread > 0)) return noAnswer('All values are the same; ranks need values that differ.');
  const ranks = meanRanks(all);
  let at = 0;
  let sum = 0;
  for (const { values } of groups) {
    let own = 0;
    for (let k = 0; k < values.length; k++) own += ranks[at++]! - (n + 1) / 2;
    sum += own ** 2 / values.length;
  }
  const h = ((12 / (n * (n + 1))) * sum) / spread;
  const df = groups.length - 1;
  return done([
    term({
      statistic: h,
      df1: df,
      p: chiSquareUpper(h, df),
      effect: { name: 'epsilon_squared', value: h / (n - 1), limits: null },
    }),
  ]);
}
