/** What is said of a camera's clock line, and moments proposed for it. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { toTrace } from '../../../core/clock/clock.ts';
import { proposeLamp, proposeSpike, type MomentProposal } from '../../../core/clock/proposal.ts';
import { clockAlong, clockQuality, clockUAt, UNKNOWN_RATE_U } from '../../../core/clock/quality.ts';

const READING = { frameStepS: 1 / 50, sampleStepS: 1 / 500 };

/** Pairs of a true line, each read to the nearest frame and sample. */
function read(videoS: readonly number[], offsetS: number, rate: number) {
  const to = (step: number, time: number) => step * Math.round(time / step);
  return videoS.map((time) => ({
    videoS: to(READING.frameStepS, time),
    traceS: to(READING.sampleStepS, offsetS + rate * time),
  }));
}

describe('a clock line', () => {
  const moments = fc.uniqueArray(fc.double({ min: 0, max: 60, noNaN: true }), {
    minLength: 3,
    maxLength: 8,
    selector: (time) => Math.round(time / 2),
  });
  const offset = fc.double({ min: -20, max: 20, noNaN: true });
  const rate = fc.double({ min: 0.9999, max: 1.0001, noNaN: true });

  test('read honestly never contradicts itself, and is good', () => {
    fc.assert(
      fc.property(moments, offset, rate, (videoS, offsetS, trueRate) => {
        const quality = clockQuality(read(videoS, offsetS, trueRate), READING);
        expect(quality.verdict).toBe('good');
        for (const { residualS, explainedS, beyond } of quality.residuals) {
          expect(beyond).toBe(false);
          expect(Math.abs(residualS)).toBeLessThanOrEqual(explainedS! + 1e-9);
        }
        expect(quality.says).toHaveLength(1);
      }),
    );
  });

  test('with one pair that joins two moments is contradictory, in words', () => {
    fc.assert(
      fc.property(moments, offset, fc.nat(), (videoS, offsetS, which) => {
        const pairs = read(videoS, offsetS, 1);
        const wrong = which % pairs.length;
        pairs[wrong] = { ...pairs[wrong]!, traceS: pairs[wrong]!.traceS + 30 };
        const { verdict, says } = clockQuality(pairs, READING);
        expect(['contradictory', 'runs_backward']).toContain(verdict);
        expect(says[0]).toMatch(/^The pairs contradict one another/);
      }),
    );
  });

  test('maps within five times its uncertainty along the trial', () => {
    fc.assert(
      fc.property(moments, offset, rate, fc.double({ min: 0, max: 60, noNaN: true }), (times, o, r, at) => {
        const quality = clockQuality(read(times, o, r), READING);
        const error = Math.abs(toTrace(quality.line!, at) - (o + r * at));
        expect(error).toBeLessThan(5 * clockUAt(quality, at)!);
      }),
    );
  });

  test('grows less certain away from the middle of its pairs; one more pair never hurts', () => {
    fc.assert(
      fc.property(moments, fc.double({ min: 0, max: 100, noNaN: true }), (videoS, away) => {
        const reading = { frameStepS: 0.02, sampleStepS: 0.002 };
        const pairs = videoS.map((time) => ({ videoS: time, traceS: time }));
        const quality = clockQuality(pairs, reading);
        const near = clockUAt(quality, quality.meanVideoS + away)!;
        expect(clockUAt(quality, quality.meanVideoS - away - 1)!).toBeGreaterThan(near);
        const more = clockQuality([...pairs, { videoS: 80, traceS: 80 }], reading);
        expect(clockUAt(more, 30)!).toBeLessThanOrEqual(clockUAt(quality, 30)! + 1e-12);
      }),
    );
  });

  test('one pair: the offset alone, and a rate that nothing fixes', () => {
    const quality = clockQuality([{ videoS: 10, traceS: 12 }], READING);
    expect(quality.verdict).toBe('one_pair');
    expect(quality.says[0]).toMatch(/offset alone.*50 µs per second/);
    const at = clockUAt(quality, 10)!;
    expect(clockUAt(quality, 70)).toBeCloseTo(Math.hypot(at, 60 * UNKNOWN_RATE_U), 12);
    expect(clockAlong(quality, 10, 70)!.says).toMatch(/ms at the pairs, [\d.]+ ms at 70\.00 s of the film/);
  });

  test('no pair, one moment, two pairs, a backward trace, a rate far from 1', () => {
    const verdict = (...pairs: [number, number][]) =>
      clockQuality(
        pairs.map(([videoS, traceS]) => ({ videoS, traceS })),
        READING,
      );
    expect(verdict().verdict).toBe('no_pair');
    expect(verdict().says[0]).toMatch(/^No moment is marked on both clocks/);
    expect(clockUAt(verdict(), 0)).toBeNull();
    expect(clockAlong(verdict(), 0, 9)).toBeNull();
    expect(verdict([5, 7], [5, 7.001]).verdict).toBe('one_moment');
    expect(verdict([5, 7], [5, 7.5]).verdict).toBe('contradictory');
    expect(verdict([5, 7], [65, 67]).verdict).toBe('unchecked');
    expect(verdict([5, 67], [65, 7]).verdict).toBe('runs_backward');
    // 29.97 frames a second taken for 30: 1001/1000 (REFERENCES, common practice).
    const ntsc = verdict([0, 1], [60, 61.06], [120, 121.12]);
    expect(ntsc.verdict).toBe('rate_far');
    expect(ntsc.says[0]).toMatch(/1000 ppm too slow/);
    // Two moments close together fix the rate so loosely that reading explains it.
    expect(verdict([5, 7], [6, 8.01]).verdict).toBe('unchecked');
  });

  test('with a frame interval that is not known, scatter alone speaks', () => {
    const pairs = read([1, 20, 50], 2, 1);
    const unknown = clockQuality(pairs, { frameStepS: null, sampleStepS: 0.002 });
    expect(unknown.verdict).toBe('good');
    expect(unknown.says[0]).toMatch(/cannot be said/);
    expect(clockUAt(clockQuality(pairs.slice(0, 2), { frameStepS: null, sampleStepS: 0.002 }), 5)).toBeNull();
  });
});

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
