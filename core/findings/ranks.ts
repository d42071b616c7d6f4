/**
 * Ranks, ties, and the exact distributions of the rank-sum and signed-rank statistics, counted by adding only, so that
 * every probability keeps its digits (Mann & Whitney 1947; Wilcoxon 1945).
 */

/** Mean ranks from 1, without unit, in the order of the values. */
export function meanRanks(values: readonly number[]): readonly number[] {
  const order = values.map((_, index) => index).sort((a, b) => values[a]! - values[b]!);
  const ranks = new Array<number>(values.length).fill(0);
  for (let from = 0; from < order.length;) {
    let to = from;
    while (to + 1 < order.length && values[order[to + 1]!] === values[order[from]!]) to++;
    for (let k = from; k <= to; k++) ranks[order[k]!] = (from + to) / 2 + 1;
    from = to + 1;
  }
  return ranks;
}

/** Σ(t³ − t) over the sizes t of groups of equal values; 0 without ties; no unit. */
export function tieSum(values: readonly number[]): number {
  const sizes = new Map<number, number>();
  for (const value of values) sizes.set(value, (sizes.get(value) ?? 0) + 1);
  let sum = 0;
  for (const t of sizes.values()) sum += t ** 3 - t;
  return sum;
}

/** Probabilities of a statistic's values 0, 1, 2, …; symmetric about their middle. */
export type Chances = Float64Array;

/** P(V = v) of the signed-rank statistic of n pairs, n < 50 (counts are then whole numbers of a double). */
export function signedRankChances(n: number): Chances {
  const most = (n * (n + 1)) / 2;
  const counts = new Float64Array(most + 1);
  counts[0] = 1;
  for (let rank = 1; rank <= n; rank++)
    for (let sum = most; sum >= rank; sum--) counts[sum]! += counts[sum - rank]!;
  return counts.map((count) => count / 2 ** n);
}

/** P(U = u) of the rank-sum statistic of groups of m and n, both < 50. */
export function rankSumChances(m: number, n: number): Chances {
  // Ways to choose k of the ranks 1…i with a given sum, less the least sum.
  const most = m * n;
  const ways = Array.from({ length: m + 1 }, () => new Float64Array(most + 1));
  ways[0]![0] = 1;
  for (let i = 1; i <= m + n; i++)
    for (let k = Math.min(i, m); k >= 1; k--) {
      // The rank i, taken as the k-th largest so far, adds i − k to the sum of the chosen less its least.
      const [here, before] = [ways[k]!, ways[k - 1]!];
      for (let u = i - k; u <= most; u++) here[u]! += before[u - (i - k)]!;
    }
  const counts = ways[m]!;
  const all = counts.reduce((sum, count) => sum + count, 0);
  return counts.map((count) => count / all);
}

/** The two-sided probability: min(1, 2 × the smaller tail that holds the observed value). */
export function exactTwoSided(chances: Chances, observed: number): number {
  // The smaller tail is summed, from its end: the other would lose digits.
  const end = chances.length - 1;
  const from = Math.min(observed, end - observed);
  let tail = 0;
  for (let k = 0; k <= from; k++) tail += chances[k]!;
  return Math.min(1, 2 * tail);
}

/** The smallest value whose cumulative probability reaches `probability`. */
export function quantileOfChances(chances: Chances, probability: number): number {
  let sum = 0;
  for (let k = 0; k < chances.length; k++) {
    sum += chances[k]!;
    if (sum >= probability * (1 - 1e-12)) return k;
  }
  return chances.length - 1;
}
