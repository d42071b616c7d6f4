/** A trial's numbers, what empties them, and the flags that say why (formats.md section 2). */
import { describe, expect, test } from 'vitest';
import { calibrate } from '../../../core/sensor/calibration.ts';
import { FLAG_MEANINGS, flagMeaning, orderFlags, type Flag } from '../../../core/stroke/flags.ts';
import type { Stroke } from '../../../core/stroke/stroke.ts';
import { analyseTrial, trialForces } from '../../../core/trial/trial.ts';
import { type TrialInput, type TrialResult } from '../../../core/trial/result.ts';
import { HAND, mark, PROTOCOL, pull, sampledFrom, stroke, swim, trace, trialInput } from '../build.ts';

const good = analyseTrial(trialInput());
const with_ = (change: Partial<TrialInput>) => analyseTrial(trialInput(change));
const left = (change: Partial<TrialInput['hands']['left']>) => ({
  hands: { left: { ...HAND, ...change }, right: HAND },
});
const protocol = (change: Partial<TrialInput['protocol']>) => ({ protocol: { ...PROTOCOL, ...change } });
const judged = (strokes: readonly Stroke[], change: (one: Stroke) => Partial<Stroke>) =>
  strokes.map((one) => ({ ...one, ...change(one) }));

describe('a good trial', () => {
  test('has every number, no flag, and is good', () => {
    expect(good.flags).toEqual([]);
    expect(good.check).toEqual({ verdict: 'good', findings: [] });
    expect(good.velocity!.value).toBeCloseTo(10 / 6, 12);
    expect(good.cycleTime!.value).toBeCloseTo(1, 12);
    expect(good.strokeRate?.value).toBeCloseTo(60, 10);
    expect(good.strokeLength?.value).toBeCloseTo(10 / 6, 12);
    // Propulsion 0.3–0.72 s after entry, the other hand half a cycle later: 0.72 − 0.8 of 1 s.
    expect(good.idc!.value).toBeCloseTo(-8, 9);
    expect(good.hands.left.idcPct).toBeCloseTo(-8, 9);
    expect(good.highHand!.value).toBeCloseTo(0.17, 12);
    expect(good.entryPosition).toBe('above');
    expect(good.propulsionBasis).toBe('video');
    expect(good.sectionM).toBe(10);
    expect(good.sectionTimeS).toBe(6);
  });

  test('its trial forces are means over the strokes that count', () => {
    for (const hand of ['left', 'right'] as const) {
      const own = good.strokes.filter(({ stroke: of, counts }) => of.hand === hand && counts);
      expect(good.hands[hand].strokes).toBe(own.length);
      const meanOf = (values: readonly number[]) =>
        values.reduce((sum, value) => sum + value, 0) / values.length;
      expect(good.hands[hand].peakForce!.value).toBeCloseTo(
        meanOf(own.map(({ peakForce }) => peakForce!.value)),
        10,
      );
      expect(good.hands[hand].meanForce!.value).toBeCloseTo(
        meanOf(own.map(({ meanForce }) => meanForce!.value)),
        10,
      );
      expect(good.hands[hand].impulse!.value).toBeCloseTo(
        meanOf(own.map(({ impulse }) => impulse!.value)),
        10,
      );
    }
  });

  test('a stroke counts by its propulsion; first and last may lie outside', () => {
    // Its propulsion starts at 0.8 s, the section at 1 s.
    expect(
      good.strokes.filter(({ counts }) => !counts).map(({ stroke: of }) => [of.hand, of.number]),
    ).toEqual([['left', 1]]);
    expect(good.strokes.every(({ meanForce }) => meanForce !== null)).toBe(true);
  });

  test('high-hand time averages over both hands', () => {
    const n = good.strokes.filter(({ counts }) => counts).length;
    expect(good.highHand!.u).toBeCloseTo((0.004 * Math.SQRT2) / Math.sqrt(n), 12);
  });
});

describe('what is missing is empty, never 0, with its flag', () => {
  type Case = readonly [Flag, Partial<TrialInput>, (result: TrialResult) => readonly unknown[]];
  const forces = ({ hands }: TrialResult) => [hands.left.peakForce, hands.left.meanForce, hands.left.impulse];
  const twoPoints = calibrate(
    [0, 10].map((appliedKpa) => ({ appliedKpa, raw: 1000 + 100 * appliedKpa, direction: null })),
    15,
  )!;
  const time = Float64Array.from({ length: 801 }, (_, k) => k / 100);
  const raw = time.map((t) => 1000 + 300 * t);
  const cases: readonly Case[] = [
    ['no_trace', { trace: null }, (r) => [...forces(r), r.forceSymmetry]],
    ['one_channel', { trace: { ...trace(() => 1000), left: null } }, forces],
    [
      'no_calibration',
      left({ calibration: null, calibrationVerdict: 'not_fitted' }),
      (r) => [...forces(r), r.hands.left.zeroShiftKpa],
    ],
    ['no_hand_area', left({ areaCm2: null }), forces],
    ['filter_unusable', protocol({ filter: { kind: 'unusable' } }), forces],
    ['filter_unusable', protocol({ filter: { kind: 'butterworth', order: 2, cutoffHz: 50 } }), forces],
    ['no_force', { trace: null }, forces],
    [
      'no_section',
      { section: null },
      (r) => [r.velocity, r.cycleTime, r.strokeRate, r.strokeLength, r.idc, r.sectionTimeS],
    ],
    [
      'no_section_length',
      protocol({ sectionFromWallM: null }),
      (r) => [r.velocity, r.strokeLength, r.sectionM],
    ],
    ['no_section_u', protocol({ sectionUM: null }), (r) => [r.velocity!.u]],
    ['no_timing_u', { timingUS: null }, (r) => [r.velocity!.u]],
    [
      'unmarked',
      { strokes: [] },
      (r) => [r.cycleTime, r.idc, r.highHand, r.entryPosition, r.propulsionBasis, ...forces(r)],
    ],
    [
      'no_cycle',
      { strokes: [pull('left', 1, 2, 2.4), pull('right', 1, 2.5, 2.9)] },
      (r) => [r.cycleTime, r.idc],
    ],
    [
      'no_coordination',
      { strokes: swim().filter(({ hand }) => hand === 'left') },
      (r) => [r.idc, r.hands.right.idcPct],
    ],
    [
      'no_high_hand',
      {
        strokes: swim().map((one) =>
          pull(one.hand, one.number, one.marks.propulsion_start!.timeS, one.marks.propulsion_end!.timeS),
        ),
      },
      (r) => [r.highHand],
    ],
    [
      'no_mark_u',
      {
        strokes: judged(swim(), (one) => ({
          marks: { ...one.marks, propulsion_start: mark(one.marks.propulsion_start!.timeS, null) },
        })),
      },
      (r) => [r.cycleTime!.u, r.idc!.u],
    ],
    ['no_zero_shift', left({ zeros: { before: 1000, after: null } }), (r) => [r.hands.left.zeroShiftKpa]],
  ];
  test.each(cases)('%s (%#)', (flag, change, empties) => {
    const result = with_(change);
    expect(result.flags).toContain(flag);
    for (const value of empties(result)) expect(value).toBeNull();
  });

  const cautions: readonly (readonly [Flag, Partial<TrialInput>])[] = [
    ['zero_from_calibration', left({ zeros: { before: null, after: null } })],
    ['calibration_rejected', left({ calibrationVerdict: 'rejected' })],
    ['no_calibration_u', left({ calibration: twoPoints })],
    ['mixed_section_points', protocol({ sectionPoints: { start: 'head', end: 'hand' } })],
    ['section_outside_trace', { section: { startS: 1, endS: 8.5 } }],
    ['saturated', left({ rawMax: 1790 })],
    [
      'gap',
      {
        trace: sampledFrom(
          time,
          raw.map((value, k) => (k > 700 && k < 710 ? NaN : value)),
          raw,
        ),
      },
    ],
    ['resampled', { trace: { ...trace(() => 1200), resampled: true } }],
    ['no_sync', { flags: ['no_sync'] }],
  ];
  test.each(cautions)('%s is a caution: the forces stand', (flag, change) => {
    const result = with_(change);
    expect(result.flags).toContain(flag);
    expect(result.hands.left.meanForce).not.toBeNull();
  });

  test('a zero that was read is not said to be missing where only the calibration is', () => {
    const result = with_(left({ calibration: null, calibrationVerdict: 'not_fitted' }));
    expect(result.flags).not.toContain('no_zero_shift');
    expect(result.check.findings.map(({ says }) => says).join(' ')).not.toContain('zero was not read');
  });

  test('the zero shift needs no trace; where it is empty its own reason stands there, trace or none', () => {
    const unread = with_({ trace: null, ...left({ zeros: { before: 1000, after: null } }) });
    expect(unread.hands.left.zeroShiftKpa).toBeNull();
    expect(unread.flags).toContain('no_zero_shift');
    const unfitted = with_({ trace: null, ...left({ calibration: null, calibrationVerdict: 'not_fitted' }) });
    expect(unfitted.flags).toContain('no_calibration');
    expect(with_({ trace: null }).hands.left.zeroShiftKpa).toBe(0);
  });

  test('an uncertainty emptied by a mark of a stroke that does not count has its reason', () => {
    const strokes = judged(swim(), (one) =>
      one.hand === 'left' && one.number === 6
        ? {
            marks: { ...one.marks, propulsion_start: mark(one.marks.propulsion_start!.timeS, null) },
            exclusionReason: 'reach to the wall',
          }
        : {},
    );
    const result = with_({ strokes });
    expect(result.cycleTime!.u).toBeNull();
    expect(result.flags).toContain('no_mark_u');
  });

  test('a section as long as the trace is not outside it', () => {
    const seventh = trace((t) => 1000 + t, 7, 300);
    const result = with_({ trace: seventh, section: { startS: 0, endS: 7 } });
    expect(result.flags).not.toContain('section_outside_trace');
    // The end of a trace comes from its rate, and may differ from the last printed time in the last bit.
    const times = Float64Array.from({ length: 1000 }, (_, k) => Number((5.206 + 0.01 * k).toFixed(3)));
    const printed = sampledFrom(
      times,
      times.map(() => 1000),
      null,
    );
    const whole = { startS: times[0]!, endS: times.at(-1)! };
    expect(with_({ trace: printed, section: whole }).flags).not.toContain('section_outside_trace');
  });
});

describe('strokes', () => {
  const flagsOf = (change: Partial<TrialInput>, at = 3) => with_(change).strokes[at]!;

  test('one that leaves the trace has no forces', () => {
    const late = [...swim(), pull('left', 7, 7.9, 8.2)];
    const found = with_({ strokes: late }).strokes.find(({ stroke: of }) => of.number === 7)!;
    expect(found.flags).toContain('outside_trace');
    expect([found.peakForce, found.meanForce, found.impulse]).toEqual([null, null, null]);
  });

  test('one that touches a long gap has no forces; its neighbours have', () => {
    const time = Float64Array.from({ length: 801 }, (_, k) => k / 100);
    const raw = time.map((t) => 1000 + 300 * t);
    // Left stroke 4 pulls from 3.8 to 4.22 s.
    const holed = sampledFrom(
      time,
      raw.map((value, k) => (k >= 400 && k < 405 ? NaN : value)),
      raw,
    );
    const result = with_({ trace: holed });
    const empty = result.strokes.filter(({ meanForce }) => meanForce === null);
    expect(empty.map(({ stroke: of, flags }) => [of.hand, of.number, flags.includes('gap')])).toEqual([
      ['left', 4, true],
    ]);
    expect(
      with_({ trace: holed, ...protocol({ accept: { ...PROTOCOL.accept, maxGapMs: 50 } }) }).flags,
    ).not.toContain('gap');
  });

  test('one without a partner says so, and the trial’s index is over the others', () => {
    expect(good.strokes[0]!.flags).toContain('no_partner');
    expect(good.strokes[0]!.idcPct).toBeNull();
  });

  test('propulsion that is not marked, high-hand time and phases', () => {
    const strokes = [...swim(), stroke('left', 7, { water_entry: 6.9 })];
    const found = with_({ strokes }).strokes.find(({ stroke: of }) => of.number === 7)!;
    expect(found.flags).toEqual(expect.arrayContaining(['no_propulsion', 'no_high_hand', 'no_phases']));
    expect(found.inSection).toBe(false);
  });

  test('an excluded one is computed and does not count', () => {
    const strokes = judged(swim(), ({ hand, number }) =>
      hand === 'left' && number === 4 ? { exclusionReason: 'lane rope' } : {},
    );
    const found = flagsOf({ strokes });
    expect(found).toMatchObject({ inSection: true, counts: false });
    expect(found.meanForce).not.toBeNull();
    expect(found.idcPct).not.toBeNull();
    expect(with_({ strokes }).hands.left.strokes).toBe(good.hands.left.strokes - 1);
  });

  test('those outside the section have index and forces too', () => {
    const narrow = with_({ section: { startS: 2, endS: 5 } });
    const outside = narrow.strokes.filter(({ inSection }) => !inSection);
    expect(outside.length).toBeGreaterThan(2);
    for (const { meanForce } of outside) expect(meanForce).not.toBeNull();
    expect(outside.some(({ idcPct }) => idcPct !== null)).toBe(true);
  });

  test('a hand that enters below sets high-hand time to 0: in the mean, not in its uncertainty', () => {
    const strokes = judged(swim(), ({ hand }) =>
      hand === 'left' ? { entryPosition: 'below' as const } : {},
    );
    const result = with_({ strokes });
    const [l, r] = [result.hands.left.strokes, result.hands.right.strokes];
    expect(result.highHand!.value).toBeCloseTo((0.17 * r) / (l + r), 12);
    // √(Σ(u₁² + u₂²)/N²) over the right strokes, N being the strokes of both hands.
    expect(result.highHand!.u).toBeCloseTo((0.004 * Math.sqrt(2 * r)) / (l + r), 12);
  });
});

test('where propulsion was marked: force, video or mixed', () => {
  const on = (clock: (one: Stroke) => 'trace' | 'video') =>
    with_({ strokes: judged(swim(), (one) => ({ propulsionClocks: [clock(one), clock(one)] })) })
      .propulsionBasis;
  expect(on(() => 'trace')).toBe('force');
  expect(on(() => 'video')).toBe('video');
  expect(on(({ hand }) => (hand === 'left' ? 'trace' : 'video'))).toBe('mixed');
});

test('the forces drawn are those computed with', () => {
  const { left: force } = trialForces(trialInput());
  const found = good.strokes.find(({ counts }) => counts)!;
  expect(Math.max(...force!)).toBeGreaterThanOrEqual(found.peakForce!.value);
  expect(trialForces(trialInput({ trace: null }))).toEqual({ left: null, right: null });
});

test('flags are a list with a meaning each, printed once and in its order', () => {
  const names = FLAG_MEANINGS.map(([flag]) => flag);
  expect(new Set(names).size).toBe(names.length);
  for (const [flag, meaning] of FLAG_MEANINGS) {
    expect(flag).toMatch(/^[a-z_]+$/);
    expect(flagMeaning(flag)).toBe(meaning);
    expect(meaning).toMatch(/\.$/);
  }
  expect(orderFlags(['unmarked', 'gap', 'unmarked', 'no_trace'])).toEqual(['no_trace', 'gap', 'unmarked']);
});
