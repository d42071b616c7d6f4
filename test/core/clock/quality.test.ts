/** What is said of a camera's clock line. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { toTrace } from '../../../core/clock/clock.ts';
import { clockDoubt } from '../../../core/clock/doubt.ts';
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

  test('with one pair that joins two moments is contradictory, and says which one', () => {
    fc.assert(
      fc.property(moments, offset, fc.nat(), (videoS, offsetS, which) => {
        const pairs = read(videoS, offsetS, 1);
        const wrong = which % pairs.length;
        pairs[wrong] = { ...pairs[wrong]!, traceS: pairs[wrong]!.traceS + 30 };
        const { verdict, says } = clockQuality(pairs, READING);
        expect(['contradictory', 'runs_backward']).toContain(verdict);
        expect(says[0]).toMatch(/^The pairs contradict one another/);
        expect(says[0]).toContain(`without the one at ${pairs[wrong]!.videoS.toFixed(3)} s of the film`);
      }),
    );
  });

  test('names the wrong pair though it pulls the line to itself', () => {
    // The last pair is 30 s off and far from the others: its own residual is nearly nothing, those of the others are not.
    for (const videoS of [
      [0, 1, 40],
      [0, 1, 2, 60],
    ]) {
      const pairs = read(videoS, 5, 1);
      const last = pairs.length - 1;
      pairs[last] = { ...pairs[last]!, traceS: pairs[last]!.traceS + 30 };
      const { says } = clockQuality(pairs, READING);
      expect(says[0]).toContain(`without the one at ${videoS.at(-1)!.toFixed(3)} s of the film`);
      expect(says[0]).toMatch(/which lies (29[89]|30[012])\d\d ms off their line/);
    }
  });

  test('is called contradictory or its rate in doubt where the dataset flags the clock, and nowhere else', () => {
    const slip = fc.double({ min: -0.05, max: 0.05, noNaN: true });
    fc.assert(
      fc.property(moments, offset, fc.nat(), slip, slip, (videoS, offsetS, which, byS, rateOff) => {
        const pairs = read(videoS, offsetS, 1 + rateOff / 20);
        const moved = which % pairs.length;
        pairs[moved] = { ...pairs[moved]!, traceS: pairs[moved]!.traceS + byS };
        const { verdict } = clockQuality(pairs, READING);
        const isInDoubt = ['contradictory', 'rate_far', 'runs_backward'].includes(verdict);
        expect(isInDoubt).toBe(clockDoubt(pairs, READING).doubtful);
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
