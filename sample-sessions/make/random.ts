/** A small seeded generator (sfc32), so that the invented day has the same bytes on every run. */
export type Random = {
  /** Uniform in [0, 1). */
  uniform: () => number;
  /** Normal, with the given mean and standard deviation. */
  normal: (mean: number, sd: number) => number;
};

function hashWords(text: string): [number, number, number, number] {
  const words: [number, number, number, number] = [0x9e3779b9, 0x243f6a88, 0xb7e15162, 0xdeadbeef];
  for (let i = 0; i < text.length; i++) {
    const c = text.charCodeAt(i);
    words[0] = Math.imul(words[0] ^ c, 0x85ebca6b) ^ (words[1] >>> 3);
    words[1] = Math.imul(words[1] ^ c, 0xc2b2ae35) ^ (words[2] >>> 5);
    words[2] = Math.imul(words[2] ^ c, 0x27d4eb2f) ^ (words[3] >>> 7);
    words[3] = Math.imul(words[3] ^ c, 0x165667b1) ^ (words[0] >>> 11);
  }
  return words;
}

/** One stream per purpose: a change in one trial then leaves the others as they were. */
export function randomFor(purpose: string): Random {
  let [a, b, c, d] = hashWords(`lanebench sample day/${purpose}`);
  const uniform = (): number => {
    const t = (((a + b) | 0) + d) | 0;
    d = (d + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + t;
    c |= 0;
    return (t >>> 0) / 4294967296;
  };
  for (let i = 0; i < 16; i++) uniform();
  const normal = (mean: number, sd: number): number => {
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    return mean + sd * radius * Math.cos(2 * Math.PI * uniform());
  };
  return { uniform, normal };
}
