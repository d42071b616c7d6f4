/** Solves an equation in one unknown (Chandrupatla 1997). */

const MOST_STEPS = 200;

/**
 * The root of a continuous function between two places where its signs differ, to the last digits of a double, in the unit of the places.
 * Chandrupatla 1997, Adv Eng Softw 28:145–149: inverse quadratic steps where they are safe, halving where not.
 * @param low, high where f has opposite signs, or is 0
 */
export function rootBetween(f: (x: number) => number, low: number, high: number): number {
  let [a, b] = [high, low];
  let [fa, fb] = [f(a), f(b)];
  if (fa === 0) return a;
  if (fb === 0) return b;
  if (fa > 0 === fb > 0) throw new RangeError('The function has one sign at both ends.');
  let c: number;
  let fc: number;
  let part = 0.5;
  for (let step = 0; step < MOST_STEPS; step++) {
    const x = a + part * (b - a);
    const fx = f(x);
    if (fx > 0 === fa > 0) [c, fc] = [a, fa];
    else [c, fc, b, fb] = [b, fb, a, fa];
    [a, fa] = [x, fx];
    const [best, fBest] = Math.abs(fa) < Math.abs(fb) ? [a, fa] : [b, fb];
    const room = (2 * Number.EPSILON * Math.abs(best)) / Math.abs(b - c);
    if (fBest === 0 || room > 0.5 || !Number.isFinite(room)) return best;
    const xi = (a - b) / (c - b);
    const phi = (fa - fb) / (fc - fb);
    const isSafe = phi ** 2 < xi && (1 - phi) ** 2 < 1 - xi;
    const next = isSafe
      ? ((fa / (fb - fa)) * fc) / (fb - fc) + ((((c - a) / (b - a)) * fa) / (fc - fa)) * (fb / (fc - fb))
      : 0.5;
    part = Math.min(1 - room, Math.max(room, next));
  }
  return a;
}

/**
 * The root of a falling or rising function, sought outward from a guess in steps that double; in the unit of the guess.
 * Null where no change of sign is found within `reach` of the guess.
 */
export function rootAround(
  f: (x: number) => number,
  guess: number,
  step: number,
  reach: number,
): number | null {
  const start = f(guess);
  if (start === 0) return guess;
  let near = 0;
  for (let far = step; far <= reach; near = far, far *= 2)
    for (const side of [1, -1])
      if (f(guess + side * far) > 0 !== start > 0) {
        const ends = [guess + side * near, guess + side * far].sort((a, b) => a - b);
        return rootBetween(f, ends[0]!, ends[1]!);
      }
  return null;
}
