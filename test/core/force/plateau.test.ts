/** Plateaus and zeros found in synthetic records with noise, drift and swimming. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { plateauBetween, proposePlateaus, windowScatter } from '../../../core/force/plateau.ts';

/** Normal deviates from a small generator, so that a failure can be seen again (Park & Miller 1988; Box & Muller 1958). */
function normals(seed: number) {
  let state = (seed % 2_147_483_646) + 1;
  const uniform = () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}

interface Staircase {
  readonly levels: readonly number[];
  readonly holdS: number;
  readonly rampS: number;
  readonly sd: number;
  readonly driftPerS: number;
  readonly rateHz: number;
  readonly seed: number;
}

/** A record that holds each level and goes to the next in a straight line; bounds of each hold in samples. */
function staircase({ levels, holdS, rampS, sd, driftPerS, rateHz, seed }: Staircase) {
  const normal = normals(seed);
  const values: number[] = [];
  const holds: [number, number][] = [];
  const [hold, ramp] = [Math.round(holdS * rateHz), Math.round(rampS * rateHz)];
  levels.forEach((level, k) => {
    holds.push([values.length, values.length + hold - 1]);
    for (let i = 0; i < hold; i++) values.push(level);
    const next = levels[k + 1];
    if (next !== undefined)
      for (let i = 1; i <= ramp; i++) values.push(level + ((next - level) * i) / (ramp + 1));
  });
  const samples = Float64Array.from(values, (value, k) => value + sd * normal() + (driftPerS * k) / rateHz);
  return { samples, holds };
}

describe('what counts as still', () => {
  const search = { leastS: 3, windowS: 2, quietness: 3 };
  const grid = { startS: 0, rateHz: 100 };
  const ends = (samples: Float64Array) =>
    proposePlateaus(samples, grid, search).map(({ lastSample }) => lastSample);

  test('three times the noise, and the noise is that of one sample: differences of two have √2 times it', () => {
    // The standard deviation of a sum of independent parts: JCGM 100 5.1.2.
    const draw = normals(5);
    const record = (later: number) =>
      Float64Array.from({ length: 5000 }, (_, k) => (k < 4000 ? 1 : later) * draw());
    expect(ends(record(2.4)).at(-1)).toBe(4999);
    // A window reaches two seconds into what follows.
    expect(ends(record(3.6)).at(-1)).toBeLessThan(4200);
  });

  test('a reading of whole steps has the noise of its step, rectangular: step/√12 (JCGM 100 F.2.2.1)', () => {
    const record = Float64Array.from({ length: 3000 }, (_, k) =>
      k < 2000 ? Math.floor(k / 50) % 2 : 4 * (Math.floor(k / 20) % 2),
    );
    expect(ends(record).length).toBeGreaterThan(0);
    expect(Math.max(...ends(record))).toBeLessThan(2000);
  });

  test('scatter of a window is on n − 1', () => {
    const { mean, sd } = windowScatter(Float64Array.of(1, 2, 4, 8), 3);
    expect(mean[0]).toBeCloseTo(7 / 3, 12);
    expect(sd[0]).toBeCloseTo(Math.sqrt(7 / 3), 12);
  });
});

describe('plateaus', () => {
  test('every hold of a staircase is found, inside its bounds, with its mean', () => {
    const shape = fc.record({
      levels: fc
        .uniqueArray(fc.integer({ min: 0, max: 20 }), { minLength: 2, maxLength: 8 })
        .map((steps) => steps.map((step) => 8000 + 2500 * step)),
      holdS: fc.double({ min: 4, max: 10, noNaN: true }),
      rampS: fc.double({ min: 0.2, max: 3, noNaN: true }),
      sd: fc.double({ min: 0.5, max: 20, noNaN: true }),
      driftPerS: fc.double({ min: -1, max: 1, noNaN: true }),
      rateHz: fc.constantFrom(50, 100, 500),
      seed: fc.integer({ min: 0, max: 1e6 }),
    });
    fc.assert(
      fc.property(shape, (made) => {
        const { samples, holds } = staircase(made);
        const found = proposePlateaus(samples, { startS: 3, rateHz: made.rateHz });
        expect(found).toHaveLength(holds.length);
        found.forEach((plateau, k) => {
          const [first, last] = holds[k]!;
          expect(plateau.firstSample).toBeGreaterThanOrEqual(first);
          expect(plateau.lastSample).toBeLessThanOrEqual(last);
          expect(plateau.startS).toBeCloseTo(3 + plateau.firstSample / made.rateHz, 9);
          const centreS = (plateau.firstSample + plateau.lastSample) / 2 / made.rateHz;
          const truth = made.levels[k]! + made.driftPerS * centreS;
          expect(Math.abs(plateau.mean - truth)).toBeLessThan(
            (6 * made.sd) / Math.sqrt(plateau.count) + 1e-6,
          );
          expect(plateau.sd!).toBeLessThan(2 * made.sd + 12);
        });
      }),
      { numRuns: 60, seed: 3 },
    );
  });

  test('one long hold is one plateau; a steady ramp and a swimming hand have none', () => {
    const noise = normals(7);
    const hold = Float64Array.from({ length: 1000 }, () => 500 + noise());
    expect(proposePlateaus(hold, { startS: 0, rateHz: 100 })).toMatchObject([
      { firstSample: 0, lastSample: 999, count: 1000 },
    ]);
    const ramp = Float64Array.from({ length: 3000 }, (_, k) => 5 * k + noise());
    expect(proposePlateaus(ramp, { startS: 0, rateHz: 100 })).toEqual([]);
    const swim = Float64Array.from({ length: 3000 }, (_, k) => 900 * Math.sin(k / 15) + noise());
    expect(proposePlateaus(swim, { startS: 0, rateHz: 100 })).toEqual([]);
  });

  test('a quantised record without noise, missing samples, and nothing at all', () => {
    const clean = staircase({
      levels: [100, 900, 400],
      holdS: 5,
      rampS: 1,
      sd: 0,
      driftPerS: 0,
      rateHz: 100,
      seed: 1,
    });
    const rounded = clean.samples.map(Math.round);
    expect(proposePlateaus(rounded, { startS: 0, rateHz: 100 }).map(({ mean }) => mean)).toEqual([
      100, 900, 400,
    ]);
    const holed = rounded.with(250, NaN);
    expect(
      proposePlateaus(holed, { startS: 0, rateHz: 100 }).every(
        ({ firstSample, lastSample }) => firstSample > 250 || lastSample < 250,
      ),
    ).toBe(true);
    expect(proposePlateaus(new Float64Array(0), { startS: 0, rateHz: 100 })).toEqual([]);
    expect(proposePlateaus(new Float64Array(500).fill(NaN), { startS: 0, rateHz: 100 })).toEqual([]);
  });

  test('bounds moved by a person are summed up again', () => {
    const samples = Float64Array.of(1, 2, 3, 4, NaN, 6);
    const grid = { startS: 10, rateHz: 2 };
    expect(plateauBetween(samples, grid, 10.5, 11.5)).toEqual({
      firstSample: 1,
      lastSample: 3,
      startS: 10.5,
      endS: 11.5,
      mean: 3,
      sd: 1,
      count: 3,
    });
    expect(plateauBetween(samples, grid, 0, 99)).toMatchObject({
      firstSample: 0,
      lastSample: 5,
      count: 5,
      mean: 3.2,
    });
    expect(plateauBetween(samples, grid, 12, 12)).toBeNull();
    expect(plateauBetween(samples, grid, 20, 30)).toBeNull();
  });
});
