/** The check on arrival, one fault at a time, on a swim made here. Limits: the protocol's; others common practice. */
import { describe, expect, test } from 'vitest';
import { checkArrival, type ArrivalCheck, type ArrivalInput } from '../../core/arrivalcheck.ts';
import { calibrate } from '../../core/calibration.ts';
import type { Hand } from '../../core/day.ts';
import type { SampledTrace } from '../../core/trace.ts';
import { trialSeries, type TrialInput } from '../../core/trial.ts';
import { HAND, PROTOCOL, calibrationPoints, sampledFrom } from './build.ts';

const RATE = 200;
const LASTS_S = 14;

/** Pressure of a hand, kPa: still for 2 s and for the last 2 s; half-sine strokes of 6 kPa every 1.2 s between. */
function kpaAt(timeS: number, laterS: number): number {
  const t = timeS - 2 - laterS;
  if (t < 0 || t > 8 * 1.2) return 0;
  const phase = (t % 1.2) / 0.5;
  return phase < 1 ? 6 * Math.sin(Math.PI * phase) : 0;
}

/** Small and the same on every run, between −1 and 1. */
function rough(k: number): number {
  return 2 * ((k * 0.6180339887) % 1) - 1;
}

type Change = (raw: number, timeS: number) => number;
const same: Change = (raw) => raw;

function traceOf({ left = same, right = same }: { left?: Change; right?: Change } = {}, seconds = LASTS_S) {
  const timeS = Float64Array.from({ length: seconds * RATE + 1 }, (_, k) => k / RATE);
  const channel = (laterS: number, change: Change) =>
    timeS.map((t, k) => change(1000 + Math.round(100 * kpaAt(t, laterS) + 2 * rough(k)), t));
  return sampledFrom(timeS, channel(0, left), channel(0.6, right));
}

const UNREAD = { before: null, after: null };
const QUIET_HAND = { ...HAND, zeros: UNREAD };

function inputOf(change: {
  trace?: SampledTrace | null;
  trial?: Partial<TrialInput>;
  input?: Partial<ArrivalInput>;
}): ArrivalInput {
  const trial: TrialInput = {
    protocol: PROTOCOL,
    trace: change.trace === undefined ? traceOf() : change.trace,
    hands: { left: QUIET_HAND, right: QUIET_HAND },
    section: { startS: 5, endS: 11 },
    timingUS: null,
    strokes: [],
    clock: null,
    flags: [],
    ...change.trial,
  };
  return {
    protocol: {
      runM: 20,
      sectionFromWallM: [10, 0],
      rateHz: RATE,
      accept: { ...PROTOCOL.accept, minStrokesPerHand: 3 },
      expected: { velocityMS: 1.7, strokeLengthM: 2, glideM: 5 },
    },
    trial,
    series: trialSeries(trial),
    traceFault: null,
    refusedRows: 0,
    cameras: [],
    films: [],
    earlierZeroRaw: { left: null, right: null },
    cameraOnly: false,
    mayStillCome: false,
    ...change.input,
  };
}

function check(change: Parameters<typeof inputOf>[0] = {}): ArrivalCheck {
  return checkArrival(inputOf(change));
}

function bad({ findings }: ArrivalCheck): string[] {
  return findings
    .filter(({ verdict }) => verdict !== 'good')
    .map(({ verdict, about, hand }) => [verdict, about, ...(hand === null ? [] : [hand])].join(' '));
}

function says({ findings }: ArrivalCheck, about: string): string {
  return findings
    .filter((finding) => finding.about === about)
    .map((finding) => finding.says)
    .join(' ');
}

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

test('the worst stand first, the good ones last', () => {
  const found = check({
    trace: traceOf({ left: () => 1000, right: (raw, t) => (t > 3 && t < 3.1 ? NaN : raw) }),
  });
  const order = found.findings.map(({ verdict }) => ['swim_again', 'look', 'good'].indexOf(verdict));
  expect(order).toEqual(order.toSorted((a, b) => a - b));
  expect(found.verdict).toBe('swim_again');
});
