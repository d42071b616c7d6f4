/** How well the ends of a section are timed: reading, parallax, straying. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { MarkView, ProtocolContent } from '../../../core/protocol/content.ts';
import { PROTOCOL_STARTERS } from '../../../core/protocol/starters.ts';
import { sectionNumbers } from '../../../core/protocol/sectioncost.ts';
import { parallax, sectionMoment, sectionTimingUS } from '../../../core/protocol/sectiontiming.ts';

/** With marks that are placed without error, so that reading stands alone. */
const sprint = {
  ...PROTOCOL_STARTERS.find(({ code }) => code === 'sprint-to-wall')!.content,
  markingUS: 0,
};
const film = (frameRateHz: number): ProtocolContent => ({
  ...sprint,
  cameras: [{ camera: 'A', frameRateHz, sees: '' }],
});
const seen = (view: MarkView, part: Partial<ProtocolContent['timing']> = {}): ProtocolContent => ({
  ...sprint,
  timing: { ...sprint.timing, views: { start: view, end: null }, ...part },
});

/** Where the straight line through two points meets that through two others, by determinants. */
function meeting(
  [ax, ay]: readonly [number, number],
  [bx, by]: readonly [number, number],
  [cx, cy]: readonly [number, number],
  [dx, dy]: readonly [number, number],
): readonly [number, number] {
  const det = (p: number, q: number, r: number, s: number) => p * s - q * r;
  const below = det(ax - bx, ay - by, cx - dx, cy - dy);
  const [ab, cd] = [det(ax, ay, bx, by), det(cx, cy, dx, dy)];
  return [det(ab, ax - bx, cd, cx - dx) / below, det(ab, ay - by, cd, cy - dy) / below];
}

/** Place on the swimmer's line from which the camera sees the swimmer at the mark. */
const seenAt = ({ acrossM, alongM, markAcrossM }: MarkView, strayedM = 0) =>
  meeting([alongM, 0], [0, markAcrossM], [-1, acrossM + strayedM], [1, acrossM + strayedM])[0];

const view: fc.Arbitrary<MarkView> = fc.record({
  acrossM: fc.double({ min: 1, max: 30, noNaN: true }),
  alongM: fc.double({ min: -10, max: 10, noNaN: true }),
  markAcrossM: fc.double({ min: 1, max: 30, noNaN: true }),
  strayM: fc.double({ min: 0, max: 1, noNaN: true }),
});

describe('parallax', () => {
  test('a worked example in coordinates: camera 2 m beyond the mark, swimmer 5 m, rope 6.25 m across', () => {
    const example = { acrossM: 5, alongM: 2, markAcrossM: 6.25, strayM: 0.5 };
    // The line from (2, 0) to (0, 6.25) has fallen by 5 / 6.25 of 2 m where it meets y = 5.
    expect(seenAt(example)).toBeCloseTo(0.4, 12);
    expect(parallax(example).biasM).toBeCloseTo(0.4, 12);
    const moment = sectionMoment(seen(example), 'start');
    expect(moment.parallaxBiasS).toBeCloseTo(0.4 / 1.8, 12);
    expect(moment.says.join(' ')).toContain('0.4 m beyond it, 220 ms too late at 1.8 m/s');
  });

  test('is where the lines meet, whatever the geometry', () => {
    fc.assert(
      fc.property(view, (one) => {
        expect(parallax(one).biasM).toBeCloseTo(seenAt(one), 9);
      }),
    );
  });

  test('straying is rectangular between the places seen at its two ends', () => {
    fc.assert(
      fc.property(view, (one) => {
        const width = Math.abs(seenAt(one, one.strayM) - seenAt(one, -one.strayM));
        expect(parallax(one).strayUM).toBeCloseTo(width / Math.sqrt(12), 9);
      }),
    );
  });

  test('a square camera has none, nor a mark on the swimmer’s own line', () => {
    fc.assert(
      fc.property(view, (one) => {
        const square = parallax({ ...one, alongM: 0 });
        expect(Math.abs(square.biasM) + square.strayUM).toBe(0);
        expect(parallax({ ...one, markAcrossM: one.acrossM }).biasM).toBeCloseTo(0, 12);
      }),
    );
  });

  test('turns round with the camera’s side', () => {
    fc.assert(
      fc.property(view, (one) => {
        expect(parallax({ ...one, alongM: -one.alongM }).biasM).toBeCloseTo(-parallax(one).biasM, 12);
      }),
    );
  });

  test('does not touch a gate, and touches an eye with a stopwatch', () => {
    const example = { acrossM: 5, alongM: 2, markAcrossM: 6.25, strayM: 0.5 };
    const gate = sectionMoment(seen(example, { method: 'gate', gateUS: 0.003 }), 'start');
    expect(gate).toMatchObject({ readingUS: 0.003, parallaxBiasM: 0, strayUS: 0, uS: 0.003 });
    const eye = sectionMoment(seen(example, { method: 'stopwatch', stopwatchUS: 0.07 }), 'start');
    expect(eye.parallaxBiasM).toBeCloseTo(0.4, 12);
    expect(eye.uS).toBeCloseTo(Math.hypot(0.07, (2 * 0.5) / (6.25 * Math.sqrt(3)) / 1.8), 12);
    expect(eye.says[0]).toContain('70 ms');
  });
});

describe('reading film', () => {
  // T/√12, uniform within a frame: 11.547, 5.774, 4.811, 2.406 ms (arithmetic on JCGM 100 4.3.7, reference pack).
  test.each([
    [25, 11.547],
    [50, 5.774],
    [60, 4.811],
    [120, 2.406],
  ])('at %i frames per second %f ms', (rate, u) =>
    expect(1000 * sectionMoment(film(rate), 'start').readingUS!).toBeCloseTo(u, 3),
  );

  test('placing a mark adds to it', () => {
    const { readingUS } = sectionMoment({ ...film(50), markingUS: 0.01 }, 'end');
    expect(readingUS).toBeCloseTo(Math.hypot(0.02 / Math.sqrt(12), 0.01), 12);
  });

  test('without its camera nothing is known, and says so', () => {
    const lost = { ...sprint, timing: { ...sprint.timing, camera: 'B' } };
    expect(sectionMoment(lost, 'start')).toMatchObject({ readingUS: null, uS: null });
    expect(sectionMoment(lost, 'start').says[0]).toContain('choose one of the protocol’s cameras');
    expect(sectionTimingUS(lost)).toBeNull();
    expect(sectionNumbers(lost)!.velocityUMS).toBeNull();
  });
});

describe('what comes of it', () => {
  test('a swimmer who strays counts once: alike views cancel it, opposite ones add it up (by intersection of lines)', () => {
    const one = { acrossM: 6, alongM: 3, markAcrossM: 8, strayM: 0.4 };
    const both = (start: MarkView, end: MarkView): ProtocolContent => ({
      ...sprint,
      timing: { ...sprint.timing, views: { start, end } },
    });
    /** Where a swimmer on a line so far across is seen at the mark. */
    const at = ({ alongM, markAcrossM }: MarkView, acrossM: number) =>
      meeting([alongM, 0], [0, markAcrossM], [0, acrossM], [1, acrossM])[0];
    const shift = (view: MarkView) => at(view, view.acrossM + view.strayM) - at(view, view.acrossM);
    for (const end of [one, { ...one, alongM: -3 }, { ...one, alongM: 1 }]) {
      const content = both(one, end);
      const reading = sectionMoment(content, 'start').readingUS!;
      const strayS = (shift(end) - shift(one)) / Math.sqrt(3) / content.expected.velocityMS;
      expect(sectionTimingUS(content)).toBeCloseTo(Math.hypot(reading, strayS / Math.SQRT2), 12);
    }
    expect(sectionTimingUS(both(one, one))).toBeCloseTo(sectionMoment(both(one, one), 'end').readingUS!, 12);
  });

  test('10 m in 5.50 s at 50 frames per second: u(v) = 0.0027 m/s (arithmetic, reference pack)', () => {
    const content = { ...film(50), sectionUM: 0, expected: { ...sprint.expected, velocityMS: 10 / 5.5 } };
    const numbers = sectionNumbers(content)!;
    expect(numbers.timeS).toBeCloseTo(5.5, 12);
    expect(numbers.velocityUMS).toBeCloseTo(0.0027, 4);
  });

  test('ends timed differently well: the one uncertainty stands for both', () => {
    fc.assert(
      fc.property(view, (one) => {
        const content = seen(one);
        const [a, b] = [sectionMoment(content, 'start').uS!, sectionMoment(content, 'end').uS!];
        const { lengthM, timeS, velocityUMS } = sectionNumbers(content)!;
        // JCGM 100, 5.1.2, on v = L / (t₂ − t₁).
        const expected = 1.8 * Math.sqrt((0.02 / lengthM) ** 2 + (a ** 2 + b ** 2) / timeS ** 2);
        expect(velocityUMS).toBeCloseTo(expected, 12);
      }),
    );
  });

  test('parallax makes the velocity too high where the body moves less than the section between the moments', () => {
    const moved = { acrossM: 5, alongM: 2, markAcrossM: 6.25, strayM: 0 };
    const content = seen(moved);
    // From 0.4 m beyond the start to the end: 9.6 m of 10 m.
    expect(sectionNumbers(content)!.velocityBiasMS).toBeCloseTo(0.04 * 1.8, 12);
  });

  test('high-hand time at 50 frames per second: 8.165 ms (T/√6, arithmetic, reference pack)', () =>
    expect(1000 * sectionNumbers(film(50))!.highHandUS!).toBeCloseTo(8.165, 3));
});
