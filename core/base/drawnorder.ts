/**
 * The order in which a second rater sees trials: shuffled from a seed, the same on every machine, with labels that tell
 * nothing. Generator: xoshiro128** 1.1 (Blackman & Vigna 2021, ACM Trans Math Softw 47:36); the seed's text becomes its
 * state by FNV-1a, 32 bit (Fowler, Noll & Vo), one hash per word, each mixed by the finalizer of MurmurHash3 (Appleby),
 * for hashes of like texts are alike; shuffle: Durstenfeld 1964, Commun ACM 7:420, with unbiased
 * numbers by rejection. Whoever knows the seed and the trials can work the order out: it blinds, it does not encrypt.
 */

type State = [number, number, number, number];

/** FNV-1a hash of a text's UTF-8 bytes, 32 bit without a sign. */
export function fnv1a(text: string): number {
  const bytes = encodeURIComponent(text.toWellFormed()).replace(/%(..)/g, (_, hex: string) =>
    String.fromCharCode(Number.parseInt(hex, 16)),
  );
  let hash = 0x811c9dc5;
  for (let k = 0; k < bytes.length; k++) hash = Math.imul(hash ^ bytes.charCodeAt(k), 0x01000193);
  return hash >>> 0;
}

/** A generator of 32-bit whole numbers without a sign, from four words that are not all 0; xoshiro128**. */
export function xoshiro128(words: readonly [number, number, number, number]): () => number {
  const s: State = [...words];
  return () => {
    const result = Math.imul(rotate(Math.imul(s[1], 5), 7), 9) >>> 0;
    const t = s[1] << 9;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = rotate(s[3], 11);
    return result;
  };
}

/** Spreads every bit of a word over all of them, 32 bit: fmix32 of MurmurHash3. */
function mix(word: number): number {
  let h = word;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return h ^ (h >>> 16);
}

function rotate(word: number, bits: number): number {
  return (word << bits) | (word >>> (32 - bits));
}

/** A whole number below `limit`, every one equally likely. */
function below(limit: number, next: () => number): number {
  const fair = 2 ** 32 - (2 ** 32 % limit);
  for (;;) {
    const value = next();
    if (value < fair) return value % limit;
  }
}

/** An item with its place in the blind order. */
export interface BlindItem {
  readonly item: string;
  /** What the rater sees: a number, as wide as the last one. */
  readonly label: string;
}

/**
 * Puts items into an order drawn from a seed. The order in which they are given does not matter.
 * @param items codes of trials
 * @param seed any text
 * Throws a RangeError where an item is given twice: that is a fault of the caller.
 */
export function blindOrder(items: readonly string[], seed: string): readonly BlindItem[] {
  if (new Set(items).size !== items.length) throw new RangeError('An item is given twice.');
  // The constant keeps the state from being all 0.
  const word = (k: number) => mix(fnv1a(`${k}/${seed}`));
  const next = xoshiro128([word(1), word(2), word(3), word(4) | 1]);
  const order = items.toSorted();
  for (let last = order.length - 1; last > 0; last--) {
    const pick = below(last + 1, next);
    [order[last], order[pick]] = [order[pick]!, order[last]!];
  }
  const width = String(order.length).length;
  return order.map((item, k) => ({ item, label: `Trial ${String(k + 1).padStart(width, '0')}` }));
}
