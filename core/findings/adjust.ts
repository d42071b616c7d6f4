/** P values adjusted for the number of questions asked: Holm 1979; Benjamini & Hochberg 1995 (as R's p.adjust). */
import type { Adjust } from './plan.ts';

/** Adjusted p values in the order given, each 0…1. */
export function adjusted(p: readonly number[], how: Adjust): readonly number[] {
  if (how === 'none') return p;
  const n = p.length;
  const order = p.map((_, index) => index).sort((a, b) => p[a]! - p[b]!);
  const result = new Array<number>(n).fill(1);
  if (how === 'holm') {
    let high = 0;
    order.forEach((index, k) => {
      high = Math.max(high, (n - k) * p[index]!);
      result[index] = Math.min(1, high);
    });
    return result;
  }
  let low = 1;
  for (let k = n - 1; k >= 0; k--) {
    low = Math.min(low, (n / (k + 1)) * p[order[k]!]!);
    result[order[k]!] = low;
  }
  return result;
}
