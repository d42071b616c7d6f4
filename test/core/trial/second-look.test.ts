/**
 * What a trial's numbers rest on besides its own samples and marks: the day's zeros, known pressures, columns that were
 * calibrated elsewhere, a calibration's span, shared uncertainties. Expected values are worked out from the words of
 * formats.md.
 */
import { describe, expect, test } from 'vitest';
import { analyseTrial } from '../../../core/trial/trial.ts';
import type { HandInput, TrialInput } from '../../../core/trial/result.ts';
import type { Mark, Stroke } from '../../../core/stroke/stroke.ts';
import type { Elsewhere } from '../../../core/day/elsewhere.ts';
import { HAND, PROTOCOL, swim, trace, trialInput } from '../build.ts';

const both = (change: Partial<HandInput>) => ({
  hands: { left: { ...HAND, ...change }, right: { ...HAND, ...change } },
});
const NONE = { before: null, after: null };
const KPA: Elsewhere = { quantity: 'pressure', unit: 'mbar', kpaPerUnit: 0.1, filter: true, scaleUPct: 2 };
const NEWTON: Elsewhere = { quantity: 'force', unit: 'N', newtonsPerUnit: 1, filter: false, scaleUPct: 3 };
const good = analyseTrial(trialInput());

describe('the zero of the day', () => {
  test('serves a trial without its own, as the mean of what is there', () => {
    const level = { trace: trace(() => 1500) };
    const found = analyseTrial(
      trialInput({ ...level, ...both({ zeros: NONE, dayZeros: { before: 990, after: 1010 } }) }),
    );
    const own = analyseTrial(trialInput({ ...level, ...both({ zeros: { before: 1000, after: 1000 } }) }));
    expect(found.hands.left.meanForce!.value).toBeCloseTo(own.hands.left.meanForce!.value, 10);
    expect(found.hands.left.zeroShiftKpa).toBeNull();
    expect(found.flags).toContain('zero_from_day');
    expect(found.flags).not.toContain('zero_from_calibration');
  });

  test('counts for nothing where the trial has one reading', () => {
    const found = analyseTrial(
      trialInput(both({ zeros: { before: 1000, after: null }, dayZeros: { before: 0, after: 0 } })),
    );
    expect(found.flags).not.toContain('zero_from_day');
  });
});

describe('beyond the calibration', () => {
  test('a stroke whose pressure exceeds the largest applied one is flagged, and the trial', () => {
    // 15 kPa is the largest; raw 1000 + 100 per kPa.
    const found = analyseTrial(trialInput({ trace: trace((t) => (t > 3.5 && t < 4.5 ? 2600 : 1500)) }));
    const flagged = found.strokes.filter(({ flags }) => flags.includes('beyond_calibration'));
    expect(flagged.length).toBeGreaterThan(0);
    expect(flagged.length).toBeLessThan(found.strokes.length);
    expect(found.flags).toContain('beyond_calibration');
    expect(good.flags).not.toContain('beyond_calibration');
  });

  test('suction beyond it counts by its size', () =>
    expect(analyseTrial(trialInput({ trace: trace(() => 1000 - 1600) })).flags).toContain(
      'beyond_calibration',
    ));
});

describe('known pressures', () => {
  const checked = (endKpa: number, limit: number | null) =>
    analyseTrial(
      trialInput({
        protocol: { ...PROTOCOL, accept: { ...PROTOCOL.accept, maxCheckDeviationKpa: limit } },
        ...both({ check: { startKpa: 0.01, endKpa } }),
      }),
    );

  test('read wrongly flag the trials of the sensor, which are to be looked at', () => {
    expect(checked(-0.31, 0.3)).toMatchObject({ check: { verdict: 'look' } });
    expect(checked(-0.31, 0.3).flags).toContain('sensor_check_failed');
  });

  test('within the limit, or without one, change nothing', () => {
    expect(checked(-0.3, 0.3).flags).not.toContain('sensor_check_failed');
    expect(checked(-9, null).flags).not.toContain('sensor_check_failed');
    expect(checked(-9, null).check.verdict).toBe('good');
  });
});

describe('calibrated elsewhere', () => {
  const level = (value: number, change: Partial<HandInput>) =>
    analyseTrial(
      trialInput({
        trace: trace(() => value),
        ...both({ calibration: null, calibrationVerdict: null, zeros: NONE, ...change }),
      }),
    );

  test('a pressure in mbar: 40 mbar on 150 cm² is 60 N; its zero is 0 where none was read', () => {
    const found = level(40, { elsewhere: KPA });
    expect(found.hands.left.meanForce!.value).toBeCloseTo(60, 10);
    // u² = 60²·((3/150)² + 0.02²) + 15²·(0.15²/3 + (0.09775/√3)²)
    const wanted = Math.sqrt(3600 * (0.02 ** 2 + 0.02 ** 2) + 225 * ((0.15 ** 2 + 0.09775 ** 2) / 3));
    expect(found.hands.left.meanForce!.u).toBeCloseTo(wanted, 10);
    expect(found.flags).toContain('calibrated_elsewhere');
    for (const flag of ['no_calibration', 'zero_from_calibration', 'beyond_calibration'])
      expect(found.flags).not.toContain(flag);
  });

  test('zeros apply in the column’s unit, and the shift is in kPa', () => {
    const found = level(40, { elsewhere: KPA, zeros: { before: 4, after: 6 } });
    expect(found.hands.left.zeroShiftKpa).toBeCloseTo(0.2, 12);
    expect(analyseTrial(trialInput({ ...both({ elsewhere: null }) })).hands.left.zeroShiftKpa).toBe(0);
  });

  test('a force needs no hand area, and has no zero shift in kPa', () => {
    const found = level(62, {
      elsewhere: NEWTON,
      areaCm2: null,
      areaUCm2: null,
      zeros: { before: 2, after: 2 },
    });
    expect(found.hands.left.meanForce!.value).toBeCloseTo(60, 10);
    expect(found.hands.left.meanForce!.u).toBeCloseTo(60 * 0.03, 10);
    expect(found.hands.left.zeroShiftKpa).toBeNull();
    expect(found.flags).not.toContain('no_hand_area');
  });

  test('without a stated scale nothing has an uncertainty, and a flag says so', () => {
    for (const elsewhere of [
      { ...KPA, scaleUPct: null },
      { ...NEWTON, scaleUPct: null },
    ]) {
      const found = level(40, { elsewhere });
      expect(found.hands.left.peakForce!.u).toBeNull();
      expect(found.forceSymmetry!.u).toBeNull();
      expect(found.flags).toContain('no_scale_u');
    }
  });
});

describe('what the strokes of a trial share', () => {
  test('a force’s uncertainty does not shrink with their number', () => {
    const { meanForce } = good.hands.left;
    const F = meanForce!.value;
    const { sensitivityU, sensitivityRawPerKpa, residualSdKpa } = HAND.calibration!;
    const inFull = residualSdKpa! ** 2 + 0.09775 ** 2 / 3;
    const wanted = Math.sqrt(
      F ** 2 * ((3 / 150) ** 2 + (sensitivityU! / sensitivityRawPerKpa) ** 2) + 15 ** 2 * inFull,
    );
    expect(meanForce!.u).toBeCloseTo(wanted, 10);
  });

  const on = (change: (mark: Mark, event: string) => Partial<Mark>) =>
    swim().map((stroke): Stroke => ({
      ...stroke,
      marks: Object.fromEntries(
        Object.entries(stroke.marks).map(([event, mark]) => [event, { ...mark, ...change(mark, event) }]),
      ),
    }));

  test('a threshold’s uncertainty is added once to the index, not averaged', () => {
    const strokes = on((_, event) => ({ sharedUS: event === 'propulsion_start' ? 0.01 : 0 }));
    const [before, after] = [good.idc!, analyseTrial(trialInput({ strokes })).idc!];
    const T = good.cycleTime!.value;
    expect(after.value).toBe(before.value);
    expect(after.u! ** 2 - before.u! ** 2).toBeCloseTo(((100 / T) * 0.01) ** 2, 8);
  });

  test('a mark on film against one on the trace brings in the clock line', () => {
    const strokes = on((_, event) =>
      event === 'full_reach' ? { clock: 'trace', clockUS: 0 } : { clock: 'video', clockUS: 0.006 },
    );
    const found = analyseTrial(trialInput({ strokes }));
    const n = found.strokes.filter(({ counts }) => counts).length;
    expect(found.highHand!.u).toBeCloseTo(Math.sqrt((2 * 0.004 ** 2) / n + 0.006 ** 2), 12);
    expect(found.strokes[0]!.highHand!.u).toBeCloseTo(Math.sqrt(2 * 0.004 ** 2 + 0.006 ** 2), 12);
  });
});

test('a section that does not span whole cycles: (a/100 · T/2 / (2πΔt))² joins the velocity', () => {
  const protocol = { ...PROTOCOL, speedVariationPct: 12 };
  const found = analyseTrial(trialInput({ protocol }));
  const [v, T, dt] = [found.velocity!.value, found.cycleTime!.value, 6];
  const wanted =
    v * Math.sqrt((0.02 / 10) ** 2 + 2 * (0.005 / dt) ** 2 + ((0.12 * (T / 2)) / (2 * Math.PI * dt)) ** 2);
  expect(found.velocity!.u).toBeCloseTo(wanted, 14);
  const unmarked = analyseTrial(trialInput({ protocol, strokes: [] }));
  expect(unmarked.velocity!.u).toBeCloseTo(v * Math.hypot(0.002, (Math.SQRT2 * 0.005) / dt), 14);
});

test('placing that is not stated is flagged on every trial', () => {
  const protocol = { ...PROTOCOL, markingUS: null };
  expect(analyseTrial(trialInput({ protocol, strokes: [] })).flags).toContain('marking_not_stated');
  expect(good.flags).not.toContain('marking_not_stated');
});

test('undecided counts for no class; a measured height counts before a judgement', () => {
  const change = (k: number): Partial<Stroke> =>
    k % 2 === 0 ? { entryPosition: 'undecided' } : k === 3 ? { entryHeightCm: { value: 4, u: 1 } } : {};
  const found = analyseTrial(
    trialInput({
      strokes: swim().map((one, k) => ({ ...one, ...change(k) })),
    } satisfies Partial<TrialInput>),
  );
  const counted = found.strokes.filter(({ counts }) => counts).map(({ stroke }) => stroke);
  expect(found.strokesMeasured).toBe(counted.filter(({ entryHeightCm }) => entryHeightCm !== null).length);
  expect(found.strokesJudged).toBe(
    counted.filter(({ entryPosition, entryHeightCm }) => entryPosition === 'above' && entryHeightCm === null)
      .length,
  );
  expect(found.entryPosition).toBe('above');
});
