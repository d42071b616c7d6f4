/** Moments proposed for a camera's clock: a lamp in the film, a tap in a raw channel. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { proposeLamp, proposeSpike, type MomentProposal } from '../../../core/clock/proposal.ts';

/** Normal deviates from a small generator (Park & Miller 1988; Box & Muller 1958). */
function normals(seed: number) {
  let state = (seed % 2_147_483_646) + 1;
  const uniform = () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}

function moments(outcome: ReturnType<typeof proposeLamp>): readonly MomentProposal[] {
  return outcome.ok ? outcome.value : [];
}

const seed = fc.integer({ min: 1, max: 1e6 });

describe('a lamp in the film', () => {
  /** Frames of varying length; the lamp goes on with the given frames and stays on for five. */
  function film(seedOf: number, on: readonly number[], rise: number, count = 600) {
    const normal = normals(seedOf);
    let time = 0.3;
    const timesS = Float64Array.from({ length: count }, (_, k) => (time += k % 3 === 0 ? 0.03 : 0.02));
    const lit = new Set(on.flatMap((frame) => [0, 1, 2, 3, 4].map((k) => frame + k)));
    const brightness = Float64Array.from(
      { length: count },
      (_, k) => 90 + normal() + (lit.has(k) ? rise : 0),
    );
    return { timesS, brightness };
  }

  test('is found at the first bright frame, several times too', () => {
    const on = fc.uniqueArray(fc.integer({ min: 2, max: 58 }), { minLength: 1, maxLength: 6 });
    fc.assert(
      fc.property(seed, on, fc.double({ min: 25, max: 150, noNaN: true }), (seedOf, tens, rise) => {
        const frames = tens.map((ten) => 10 * ten).toSorted((a, b) => a - b);
        const { timesS, brightness } = film(seedOf, frames, rise);
        const found = moments(proposeLamp(timesS, brightness));
        expect(found.map(({ index }) => index)).toEqual(frames);
        for (const { index, timeS, step, strength } of found) {
          expect(timeS).toBe(timesS[index]);
          expect(step).toBeGreaterThan(0);
          expect(strength).toBeGreaterThanOrEqual(8);
        }
      }),
    );
  });

  test('that comes up over two frames is one moment', () => {
    const { timesS, brightness } = film(3, [300], 80);
    brightness[299] = brightness[299]! + 40;
    expect(moments(proposeLamp(timesS, brightness)).map(({ index }) => index)).toEqual([299]);
  });

  test('is refused where nothing jumps: noise, a still box, a slow dawn', () => {
    fc.assert(
      fc.property(seed, (seedOf) => {
        const { timesS, brightness } = film(seedOf, [], 0);
        const outcome = proposeLamp(timesS, brightness);
        expect(outcome.ok ? null : outcome.error.code).toBe('nothing_stands_out');
      }),
    );
    const timesS = Float64Array.from({ length: 100 }, (_, k) => k / 25);
    expect(proposeLamp(timesS, new Float64Array(100).fill(7)).ok).toBe(false);
    expect(
      proposeLamp(
        timesS,
        timesS.map((time) => 20 * time),
      ).ok,
    ).toBe(false);
    expect(proposeLamp(timesS, new Float64Array(100).fill(NaN))).toMatchObject({
      error: { code: 'too_short' },
    });
  });

  test('a box so still that nothing is usual still shows the lamp, and no single grey level', () => {
    const timesS = Float64Array.from({ length: 100 }, (_, k) => k / 25);
    const still = new Float64Array(100).fill(60);
    expect(
      moments(
        proposeLamp(
          timesS,
          still.map((b, k) => (k >= 40 ? b + 100 : b)),
        ),
      ),
    ).toHaveLength(1);
    expect(
      proposeLamp(
        timesS,
        still.map((b, k) => (k >= 40 ? b + 1 : b)),
      ).ok,
    ).toBe(false);
  });
});

describe('a tap in a raw channel', () => {
  const grid = { startS: 2, rateHz: 200 };
  /** Rest, then a swim; a tap rings for 0.1 s where one is given. */
  function channel(seedOf: number, taps: readonly number[], size: number) {
    const normal = normals(seedOf);
    return Float64Array.from({ length: 4000 }, (_, k) => {
      const swim = k < 1500 ? 0 : 400 * Math.max(0, Math.sin((k - 1500) / 35));
      const ring = taps
        .filter((tap) => k >= tap && k < tap + 20)
        .reduce((sum, tap) => sum + size * Math.cos((k - tap) / 1.5) * Math.exp((tap - k) / 6), 0);
      return 8000 + 5 * normal() + swim + ring;
    });
  }

  test('is found on its first sample, up or down, and its ringing is not another', () => {
    fc.assert(
      fc.property(seed, fc.integer({ min: 100, max: 1300 }), fc.constantFrom(-1, 1), (seedOf, tap, sign) => {
        const found = moments(proposeSpike(channel(seedOf, [tap], 600 * sign), grid, 50));
        expect(found.map(({ index }) => index)).toEqual([tap]);
        expect(found[0]!.timeS).toBeCloseTo(2 + tap / 200, 12);
      }),
    );
  });

  test('is refused in a swim without one', () => {
    fc.assert(
      fc.property(seed, (seedOf) => {
        expect(proposeSpike(channel(seedOf, [], 0), grid, 50).ok).toBe(false);
      }),
    );
  });

  test('many alike are no moment; a few among them far larger are', () => {
    const many = Array.from({ length: 12 }, (_, k) => 200 + 100 * k);
    const alike = proposeSpike(channel(5, many, 300), grid, 50);
    expect(alike.ok ? '' : alike.error.says).toMatch(/^12 jumps .* are alike/);
    const two = channel(5, many, 300);
    two[1450] = two[1450]! + 4000;
    expect(moments(proposeSpike(two, grid, 50)).map(({ index }) => index)).toEqual([1450]);
  });
});
