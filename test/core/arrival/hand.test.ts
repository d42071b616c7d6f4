/** What is wrong with a channel on arrival: gaps, saturation, dead or stuck, noise, hands that look swapped. */
import { describe, expect, test } from 'vitest';
import { calibrate } from '../../../core/sensor/calibration.ts';
import type { Hand } from '../../../core/base/hand.ts';
import { RATE, bad, check, QUIET_HAND, rough, same, says, traceOf, type Change } from './build.ts';
import { calibrationPoints } from '../build.ts';

describe('gaps and saturation', () => {
  const holed =
    (from: number, to: number): Change =>
    (raw, t) =>
      t > from && t < to ? NaN : raw;

  test('a long gap in the section is swum again, outside looked at, and looked at where no section is known', () => {
    const inside = check({ trace: traceOf({ right: holed(7, 7.1) }) });
    expect(bad(inside)).toEqual(['swim_again gaps right']);
    expect(says(inside, 'gaps')).toMatch(
      /right hand lost 95 ms of samples at 7\.0\d s, in the section; the limit is 20 ms/,
    );
    expect(bad(check({ trace: traceOf({ right: holed(3, 3.1) }) }))).toEqual(['look gaps right']);
    const unknown = check({ trace: traceOf({ right: holed(7, 7.1) }), trial: { section: null } });
    expect(bad(unknown)).toEqual(['look gaps right']);
    expect(unknown.hands.right!.longestGapMs).toBeCloseTo(95, 6);
  });

  test('a short gap is good', () =>
    expect(says(check({ trace: traceOf({ right: holed(7, 7.02) }) }), 'gaps')).toBe(
      'Gaps (limit 20 ms): left none; right 15 ms at most.',
    ));

  test('clipped strokes are swum again, and shown', () => {
    const clipped = check({
      trace: traceOf({ left: (raw) => Math.min(raw, 1400) }),
      trial: { hands: { left: { ...QUIET_HAND, rawMax: 1400 }, right: QUIET_HAND } },
    });
    expect(bad(clipped)).toEqual(['swim_again saturation left']);
    expect(clipped.findings[0]!.endS! - clipped.findings[0]!.startS!).toBeGreaterThan(0.2);
    expect(clipped.hands.left!.saturatedFraction).toBeGreaterThan(0.1);
  });

  test('without the ends of the raw range nothing is claimed', () => {
    const hand = { ...QUIET_HAND, rawMin: null, rawMax: null };
    const unknown = check({ trial: { hands: { left: hand, right: hand } } });
    expect(says(unknown, 'saturation')).toMatch(/cannot be told/);
  });
});

describe('channels', () => {
  test.each<[string, Change]>([
    ['one value', () => 1000],
    ['two neighbouring values', (_, t) => 1000 + (Math.round(t * RATE) % 2)],
    ['noise only', (_, t) => 1000 + Math.round(3 * rough(Math.round(t * RATE)))],
    ['hardly connected', (raw) => 1000 + 0.04 * (raw - 1000)],
  ])('dead: %s', (_, change) => {
    const dead = check({ trace: traceOf({ left: change }) });
    expect(bad(dead)).toContain('swim_again channel left');
    expect(dead.hands.left!.strokes).toEqual([]);
    expect(dead.hands.left!.inSection).toBe(0);
  });

  test('dead against the other hand where no calibration tells kPa', () => {
    const hand = { ...QUIET_HAND, calibration: null };
    const dead = check({
      trace: traceOf({ left: (raw) => 1000 + 0.02 * (raw - 1000) }),
      trial: { hands: { left: hand, right: hand } },
    });
    expect(says(dead, 'channel')).toMatch(
      /hardly moves: over .* raw, where the other hand’s moves over .* raw/,
    );
  });

  test('stuck while the swimmer swims', () => {
    const stuck = check({ trace: traceOf({ left: (raw, t) => (t > 8 && t < 9.5 ? 1234 : raw) }) });
    const found = stuck.findings.find(({ about }) => about === 'channel')!;
    expect(found.verdict).toBe('swim_again');
    expect(found.startS).toBeCloseTo(8, 1);
    expect(found.endS).toBeCloseTo(9.5, 1);
  });

  test('a hand without samples', () => {
    const one = check({ trace: { ...traceOf(), right: null } });
    expect(bad(one)).toEqual(['swim_again channel right']);
    expect(one.hands.right).toBeNull();
  });

  test('noise against the strokes: 10 : 1 at least', () => {
    const noisy: Change = (raw, t) => raw + Math.round(180 * rough(7 * Math.round(t * RATE)));
    const found = check({ trace: traceOf({ left: noisy, right: noisy }) });
    expect(bad(found)).toEqual(expect.arrayContaining(['look noise left', 'look noise right']));
    expect(says(found, 'noise')).toMatch(/times the SD of .* N in the quietest second; at least 10 times/);
  });
});

describe('hands that look swapped', () => {
  // The left sensor's zero is at 1000 raw, the right one's at 1300: 3 kPa apart.
  const right = { ...QUIET_HAND, calibration: calibrate(calibrationPoints(1300), 15)! };
  const hands = { left: QUIET_HAND, right };
  const raised: Change = (raw) => raw + 300;
  const swapped = { left: raised, right: same };
  const sound = { left: same, right: raised };

  test('is a hint with its numbers, never more', () => {
    const found = check({ trace: traceOf(swapped), trial: { hands } });
    expect(bad(found)).toContain('look hands');
    expect(bad(found)).not.toContain('swim_again hands');
    expect(says(found, 'hands')).toMatch(
      /^Look whether the hands are swapped: .*left channel lies 3\.0\d kPa and the right 3\.0\d kPa .*by calibration.*a hint, no proof/,
    );
    expect(says(check({ trace: traceOf(sound), trial: { hands } }), 'hands')).toMatch(/do not look so/);
  });

  test('earlier zeros of today count before the calibration', () => {
    const earlierZeroRaw: Record<Hand, number | null> = { left: 1300, right: 1000 };
    const found = check({ trace: traceOf(swapped), trial: { hands }, input: { earlierZeroRaw } });
    expect(says(found, 'hands')).toMatch(/do not look so/);
  });

  test('zeros close together tell nothing, and it is said', () =>
    expect(says(check(), 'hands')).toMatch(
      /cannot be told, for the zeros of the two sensors lie 0\.00 kPa apart/,
    ));

  test('one hand off its zero alone is no swap', () => {
    const found = check({ trace: traceOf({ left: raised, right: raised }), trial: { hands } });
    expect(says(found, 'hands')).toMatch(/do not look so/);
  });
});
