/**
 * Random numbers for simulations in tests, the same on every machine: mulberry32 (a public-domain generator of 32 bit,
 * from memory), and standard normal numbers from it by Box & Muller 1958, Ann Math Stat 29:610–611.
 */

/** Numbers from 0 up to but not 1. */
export function uniform(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** Standard normal numbers. */
export function normal(seed: number): () => number {
  const next = uniform(seed);
  return () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next());
}
