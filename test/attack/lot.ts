/** Chance that can be repeated: the same seed gives the same attacks. Generator: mulberry32 (public domain, from memory). */
export interface Lot {
  /** 0 ≤ x < 1. */
  readonly part: () => number;
  /** A whole number, 0 ≤ n < below. */
  readonly whole: (below: number) => number;
  readonly oneOf: <T>(list: readonly T[]) => T;
}

export function lotOf(seed: number): Lot {
  let state = seed >>> 0;
  const part = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
  const whole = (below: number) => Math.floor(part() * below);
  return { part, whole, oneOf: (list) => list[whole(list.length)]! };
}
