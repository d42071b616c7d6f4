/** The check on arrival, one fault at a time, on a swim made here. Limits: the protocol's; others common practice. */
import { describe, expect, test } from 'vitest';
import { RATE, bad, check, inputOf, QUIET_HAND, rough, says, traceOf, type Change } from './build.ts';
import { HAND } from '../build.ts';

describe('a sound trial', () => {
  const found = check();

  test('is good, and says what was found good', () => {
    expect(bad(found)).toEqual([]);
    expect(found.verdict).toBe('good');
    expect(found.durationS).toBeCloseTo(14, 9);
    expect(found.rateHz).toBeCloseTo(RATE, 9);
    expect(says(found, 'sampling')).toBe('200 samples/s, evenly spaced.');
    expect(says(found, 'gaps')).toBe('Gaps (limit 20 ms): none on each hand.');
    expect(says(found, 'strokes')).toMatch(/5 in the section, 8 in all on each hand/);
  });

  test('counts strokes, and measures noise and peak in N', () => {
    expect(found.hands.left!.strokes).toHaveLength(8);
    // 6 kPa × 150 cm² = 90 N (1 kPa·cm² = 0.1 N).
    expect(found.hands.left!.peakN!).toBeGreaterThan(88);
    expect(found.hands.left!.peakN!).toBeLessThan(92);
    // Uniform noise of ±2 raw has an SD of 2/√3 raw and a rounding of 1/√12: 1.19 raw, 0.0119 kPa, 0.18 N.
    expect(found.hands.left!.noiseN!).toBeCloseTo(0.18, 1);
    expect(found.hands.left!.zeroShiftKpa!).toBeCloseTo(0, 2);
  });

  test('gives no force where the hand area is not known, yet counts strokes', () => {
    const bare = check({ trial: { hands: { left: { ...QUIET_HAND, areaCm2: null }, right: QUIET_HAND } } });
    expect(bad(bare)).toEqual(['look channel left']);
    expect(says(bare, 'channel')).toMatch(/no force: the hand area is not known/);
    expect(bare.hands.left!.strokes).toHaveLength(8);
    expect(bare.hands.left!.strokes[0]!.peakN).toBeNull();
    expect(bare.hands.left!.peakN).toBeNull();
    expect(bare.hands.left!.noiseN).toBeNull();
  });

  test('without a calibration says what is not known, and counts on raw', () => {
    const hand = { ...QUIET_HAND, calibration: null };
    const bare = check({ trial: { hands: { left: hand, right: QUIET_HAND } } });
    expect(bad(bare)).toEqual(['look channel left', 'look zero left']);
    expect(bare.hands.left!.strokes).toHaveLength(8);
    expect(bare.hands.left!.zeroShiftKpa).toBeNull();
  });
});

describe('no trace', () => {
  test('must be swum again, with the reason; a trial that only a camera caught need not', () => {
    expect(bad(check({ trace: null }))).toEqual(['swim_again trace']);
    const reason = 'left.csv cannot be used: it holds fewer than two samples.';
    expect(says(check({ trace: null, input: { traceFault: reason } }), 'trace')).toBe(reason);
    expect(bad(check({ trace: null, input: { cameraOnly: true } }))).toEqual(['look trace']);
    const waiting = check({ trace: null, input: { mayStillCome: true } });
    expect(bad(waiting)).toEqual(['look trace']);
    expect(waiting.hands).toEqual({ left: null, right: null });
    expect(waiting.durationS).toBeNull();
  });

  test('a trace that cannot be read says so also while others may come', () => {
    const input = { mayStillCome: true, traceFault: 'It is cut short.' };
    expect(bad(check({ trace: null, input }))).toEqual(['swim_again trace']);
  });
});

describe('duration and sampling', () => {
  test('a trace far too short is swum again, one far too long is looked at', () => {
    // 20 m at 1.7 m/s take 11.8 s; 70 % of it are 8.2 s; twice it and 30 s are 53.5 s.
    const short = check({ trace: traceOf({}, 8), trial: { section: null } });
    expect(bad(short)).toContain('swim_again duration');
    expect(says(short, 'duration')).toMatch(/8\.0 s long.*11\.8 s.*below 8\.2 s/);
    const long = check({ trace: traceOf({}, 54) });
    expect(bad(long)).toContain('look duration');
    expect(says(long, 'duration')).toMatch(/above 53\.5 s/);
  });

  test('a section that leaves the trace is looked at', () =>
    expect(bad(check({ trial: { section: { startS: 5, endS: 15 } } }))).toEqual(['look duration']));

  test('rate off the plan, uneven times and refused rows are looked at, each by its number', () => {
    const { protocol } = inputOf({});
    const rate = check({ input: { protocol: { ...protocol, rateHz: 203 } } });
    expect(bad(rate)).toEqual(['look sampling']);
    expect(says(rate, 'sampling')).toMatch(/200 samples\/s; planned are 203 samples\/s/);
    expect(bad(check({ input: { protocol: { ...protocol, rateHz: 201 } } }))).toEqual([]);
    expect(says(check({ trace: { ...traceOf(), resampled: true } }), 'sampling')).toMatch(
      /even step of 5 ms/,
    );
    expect(says(check({ input: { refusedRows: 1 } }), 'sampling')).toMatch(
      /1 row of the trace .* was left out/,
    );
    expect(says(check({ input: { refusedRows: 7 } }), 'sampling')).toMatch(
      /7 rows of the trace .* were left out/,
    );
  });
});

describe('zero shift', () => {
  const shifted =
    (kpa: number, when: (t: number) => boolean): Change =>
    (raw, t) =>
      raw + (when(t) ? 100 * kpa : 0);

  test('between quiet stretches: looked at, with what to do; the number is there', () => {
    const found = check({ trace: traceOf({ left: shifted(0.3, (t) => t > 6) }) });
    expect(bad(found)).toEqual(['look zero left']);
    expect(found.hands.left!.zeroShiftKpa!).toBeCloseTo(0.3, 2);
    expect(says(found, 'zero')).toMatch(/\+0\.30 kPa .*limit is 0\.15 kPa.* swim again/);
  });

  test('by confirmed readings: swum again beyond the limit; within it, good whatever the trace shows', () => {
    const read = (after: number) => ({ ...HAND, zeros: { before: 1000, after } });
    // 30 raw at 100 raw/kPa are 0.3 kPa.
    const broken = check({ trial: { hands: { left: read(1030), right: read(1000) } } });
    expect(bad(broken)).toEqual(['swim_again zero left']);
    const trace = traceOf({ left: shifted(0.3, (t) => t > 6) });
    expect(bad(check({ trace, trial: { hands: { left: read(1001), right: read(1000) } } }))).toEqual([]);
  });

  test('without quiet stretches, by the level between strokes: an estimate with half the limit', () => {
    const restless =
      (kpa: number): Change =>
      (raw, t) =>
        raw + 20 * Math.sin(18 * t) + (t > 7 ? 100 * kpa : 0);
    const found = (kpa: number) =>
      check({ trace: traceOf({ left: restless(kpa) }), trial: { section: null } });
    expect(says(found(0.05), 'zero')).toMatch(/left \+0\.0\d kPa between strokes \(estimate\)/);
    expect(bad(found(0.1))).toContain('look zero left');
    expect(found(0.1).hands.left!.zeroShiftKpa).toBeNull();
  });

  test('cannot be told: neither still nor strokes enough', () => {
    const found = check({
      trace: traceOf({ left: (raw, t) => (t > 4.2 ? 1000 : raw) + 20 * Math.sin(18 * t) }),
    });
    expect(says(found, 'zero')).toMatch(
      /left hand’s zero shift cannot be told: nothing is quiet for 0\.5 s near the/,
    );
  });
});

describe('strokes', () => {
  const until =
    (seconds: number): Change =>
    (raw, t) =>
      t < seconds ? raw : 1000 + Math.round(2 * rough(t * 977));
  const before =
    (seconds: number): Change =>
    (raw, t) =>
      t > seconds ? raw : 1000 + Math.round(2 * rough(t * 977));
  const both = (change: Change) => traceOf({ left: change, right: change });

  test('clearly too few in the section: swum again; one too few: looked at, for the count is an estimate', () => {
    const one = check({ trace: both(until(6.5)), trial: { section: { startS: 5, endS: 11 } } });
    expect(bad(one)).toEqual(expect.arrayContaining(['swim_again strokes left']));
    expect(says(one, 'strokes')).toMatch(
      /1 stroke of the left hand found in the section \(an estimate, right to ±1\); the protocol asks for 3/,
    );
    expect(one.verdict).toBe('swim_again');
    const two = check({ trace: both(until(8)), trial: { section: { startS: 5, endS: 11 } } });
    expect(bad(two)).toContain('look strokes left');
  });

  test('section not known: the whole trace must hold them, and the expected section is told', () => {
    const found = check({ trial: { section: null } });
    expect(bad(found)).toEqual([]);
    // 10 m at 1.7 m/s are 5.9 s; less a stroke, every 1.2 s: 4 whole strokes at least.
    expect(says(found, 'strokes')).toMatch(/8 in all, about 4 in the section, whose times are not set/);
    const { protocol } = inputOf({});
    const many = { ...protocol, accept: { ...protocol.accept, minStrokesPerHand: 6 } };
    expect(bad(check({ trial: { section: null }, input: { protocol: many } }))).toEqual([
      'look strokes left',
      'look strokes right',
    ]);
    const tooMany = { ...protocol, accept: { ...protocol.accept, minStrokesPerHand: 12 } };
    expect(bad(check({ trial: { section: null }, input: { protocol: tooMany } }))).toEqual([
      'swim_again strokes left',
      'swim_again strokes right',
    ]);
  });

  test('hands that differ by two or more are looked at', () => {
    const found = check({ trace: traceOf({ left: before(4.3) }) });
    expect(bad(found)).toEqual(['look strokes']);
    expect(says(found, 'strokes')).toMatch(/6 strokes found left and 8 right/);
  });
});

test('the worst stand first, the good ones last', () => {
  const found = check({
    trace: traceOf({ left: () => 1000, right: (raw, t) => (t > 3 && t < 3.1 ? NaN : raw) }),
  });
  const order = found.findings.map(({ verdict }) => ['swim_again', 'look', 'good'].indexOf(verdict));
  expect(order).toEqual(order.toSorted((a, b) => a - b));
  expect(found.verdict).toBe('swim_again');
});
