/** The force budget of a hand, a sensor's history, and which calibration a trial uses. */
import { describe, expect, test } from 'vitest';
import { forceBudget, propagate, type ForceBudgetInput } from '../../../core/sensor/budget.ts';
import { chooseCalibration, type CalibrationCandidate } from '../../../core/sensor/choice.ts';
import { sensitivityHistory } from '../../../core/sensor/drift.ts';

const input: ForceBudgetInput = {
  forceN: 90,
  areaCm2: 150,
  areaUCm2: 3,
  sensitivity: 600,
  sensitivityFitU: 3,
  referenceScale: 0.004,
  residualSdKpa: 0.02,
  calibrationDegreesOfFreedom: 12,
  zeroUKpa: 0.03,
  fittedZero: { uKpa: 0.025, correlation: -0.8 },
  tapUKpa: (0.01 * 996.5 * 9.81) / 1000 / Math.sqrt(3),
};

describe('force budget', () => {
  const budget = forceBudget(input)!;
  const part = (source: string) => budget.parts.find((found) => found.source === source)!;

  test('every part in N, by hand: 0.1·A per kPa, area and sensitivity in proportion', () => {
    expect(part('sensitivity').uN).toBeCloseTo(90 * (3 / 600), 12);
    expect(part('reference').uN).toBeCloseTo(90 * 0.004, 12);
    expect(part('area').uN).toBeCloseTo(90 * (3 / 150), 12);
    expect(part('zero').uN).toBeCloseTo(15 * 0.03, 12);
    expect(part('noise').uN).toBeCloseTo(15 * 0.02, 12);
    expect(part('tap_depth').uN).toBeCloseTo((15 * 0.01 * 996.5 * 9.81) / 1000 / Math.sqrt(3), 12);
    expect(budget.parts.reduce((sum, { sharePct }) => sum + sharePct, 0)).toBeCloseTo(100, 10);
    expect(budget.total.uN).toBeCloseTo(Math.hypot(...budget.parts.map(({ uN }) => uN)), 12);
  });

  test('a fitted zero adds its own part and twice its covariance with the sensitivity', () => {
    const [s, z] = [part('sensitivity').uN, 15 * 0.025];
    expect(budget.withFittedZero!.uN ** 2).toBeCloseTo(budget.total.uN ** 2 + z * z - 2 * 0.8 * s * z, 10);
    const suction = forceBudget({ ...input, forceN: -90 })!;
    expect(suction.withFittedZero!.uN ** 2).toBeCloseTo(suction.total.uN ** 2 + z * z + 2 * 0.8 * s * z, 10);
    expect(forceBudget({ ...input, fittedZero: null })!.withFittedZero).toBeNull();
  });

  test('what rests on one scatter counts once in the degrees of freedom', () => {
    const alone = { ...input, areaUCm2: 0, tapUKpa: 0, zeroUKpa: 0, referenceScale: 0 };
    expect(forceBudget(alone)!.total.degreesOfFreedom).toBeCloseTo(12, 9);
    expect(forceBudget(alone)!.withFittedZero!.degreesOfFreedom).toBeCloseTo(12, 9);
    expect(budget.total.degreesOfFreedom!).toBeGreaterThan(12);
    expect(budget.total.expandedN).toBeCloseTo(budget.total.coverageFactor * budget.total.uN, 12);
  });

  test('two points leave no degree of freedom and no budget', () =>
    expect(forceBudget({ ...input, calibrationDegreesOfFreedom: 0 })).toBeNull());
});

test('parts that are correlated count as one, with the fewest degrees of freedom among them', () => {
  const input = (degreesOfFreedom: number) => ({ name: 'x', value: 1, u: 1, degreesOfFreedom });
  const model = { value: 0, coefficients: [1, 1] };
  const matrix = [
    [1, 0.5],
    [0.5, 1],
  ];
  expect(propagate(model, [input(4), input(40)], matrix).degreesOfFreedom).toBeCloseTo(4, 9);
  // Independent, they follow the Welch–Satterthwaite formula (JCGM 100 G.4.1): 2² / (1/4 + 1/40).
  expect(propagate(model, [input(4), input(40)]).degreesOfFreedom).toBeCloseTo(4 / (1 / 4 + 1 / 40), 9);
});

test('what is no correlation matrix, or contradicts itself, is a bug', () => {
  const inputs = ['a', 'b', 'c'].map((name) => ({ name, value: 1, u: 1, degreesOfFreedom: Infinity }));
  const model = { value: 0, coefficients: [1, 1, 1] };
  const three = (ab: number, ac: number, bc: number) => [
    [1, ab, ac],
    [ab, 1, bc],
    [ac, bc, 1],
  ];
  expect(() => propagate(model, inputs, [[1]])).toThrow(RangeError);
  expect(() => propagate(model, inputs, three(1.1, 0, 0))).toThrow(RangeError);
  expect(() =>
    propagate(model, inputs, [
      [1, 0.5, 0],
      [0.4, 1, 0],
      [0, 0, 1],
    ]),
  ).toThrow(RangeError);
  expect(() => propagate(model, inputs, three(-0.9, -0.9, -0.9))).toThrow(RangeError);
  expect(propagate({ value: 0, coefficients: [1, -1, 0] }, inputs, three(1, 0, 0)).u).toBe(0);
});

describe('history of the sensitivity', () => {
  const YEAR = 365.25 * 86_400_000;
  const past = (...values: (readonly [number, number])[]) =>
    values.map(([year, sensitivity], k) => ({
      id: `c${k}`,
      atMs: year * YEAR,
      sensitivity,
      sensitivityU: 2,
    }));

  test('mean, limits, in or out, drift per year', () => {
    const history = sensitivityHistory(past([2, 612], [0, 600], [1, 606]), 1)!;
    expect(history).toMatchObject({ meanRawPerKpa: 606, lowerRawPerKpa: 599.94, upperRawPerKpa: 612.06 });
    expect(history.entries.map(({ id, within }) => [id, within])).toEqual([
      ['c1', true],
      ['c2', true],
      ['c0', true],
    ]);
    expect(history.driftPctPerYear).toBeCloseTo(100 * (6 / 606), 10);
    expect(history.driftUPctPerYear).toBeCloseTo(0, 9);
    expect(
      sensitivityHistory(past([0, 600], [1, 606], [2, 612]), 0.9)!.entries.map(({ within }) => within),
    ).toEqual([false, true, false]);
  });

  test('the drift’s uncertainty is expanded by t on n − 2: 12.706 for three, 4.303 for four (table of Student’s t)', () => {
    const three = sensitivityHistory(past([0, 600], [1, 604], [2, 603]), 2)!;
    expect(three.driftExpandedPctPerYear! / three.driftUPctPerYear!).toBeCloseTo(12.706, 3);
    const four = sensitivityHistory(past([0, 600], [1, 604], [2, 603], [3, 607]), 2)!;
    expect(four.driftExpandedPctPerYear! / four.driftUPctPerYear!).toBeCloseTo(4.303, 3);
  });

  test('four calibrations within minutes tell nothing of a year', () => {
    const minute = 1 / (365.25 * 24 * 60);
    const close = sensitivityHistory(past([0, 600], [minute, 612], [2 * minute, 603], [3 * minute, 608]), 3)!;
    expect(close).toMatchObject({ driftPctPerYear: null, driftUPctPerYear: null });
    expect(close.says).toContain('too close together for a drift per year');
    expect(sensitivityHistory(past([0, 600], [31 / 365.25, 601]), 3)!.driftPctPerYear).not.toBeNull();
  });

  test('says when a drifting sensor reaches its limit, and when drift cannot be told from none', () => {
    expect(sensitivityHistory(past([0, 600], [1, 603.1], [2, 605.9], [3, 609]), 2)!.says).toMatch(
      /reaches its limit about 2\.\d years/,
    );
    expect(sensitivityHistory(past([0, 600], [1, 612], [2, 624], [3, 636]), 1)!.says).toContain(
      'has reached its limit',
    );
    expect(sensitivityHistory(past([0, 600], [1, 604], [2, 599], [3, 601]), 1)!.says).toContain(
      'cannot be told from none',
    );
  });

  test('two calibrations take their own uncertainties; one, or one moment, gives no drift; none is null', () => {
    const two = sensitivityHistory(past([0, 600], [2, 606]), 1)!;
    expect(two.driftUPctPerYear).toBeCloseTo((100 * Math.hypot(2, 2)) / 603 / 2, 10);
    expect(sensitivityHistory(past([0, 600]), 1)).toMatchObject({ driftPctPerYear: null });
    expect(sensitivityHistory(past([1, 600], [1, 606]), 1)!.says).toContain('within 30 days');
    expect(sensitivityHistory([], 1)).toBeNull();
  });
});

describe('which calibration a trial uses', () => {
  const trial = { day: 'd1', dayStartMs: 1000, dayEndMs: 1100, atMs: 1050 };
  const at = (id: string, atMs: number, more: Partial<CalibrationCandidate> = {}): CalibrationCandidate => ({
    id,
    label: `at ${atMs}`,
    atMs,
    verdict: 'accepted',
    day: null,
    interceptRaw: 8000 + atMs,
    interceptU: 4,
    sensitivityRawPerKpa: 600 + atMs / 100,
    sensitivityU: 1,
    referenceU: 0,
    residualSdKpa: 0.01,
    ...more,
  });
  const all = [
    at('late', 1250),
    at('own', 1010, { day: 'd1' }),
    at('early', 850),
    at('bad', 1040, { verdict: 'rejected' }),
    at('other', 900, { day: 'd0', verdict: 'remark' }),
    at('after', 1200),
  ];

  test('day: its own, whatever its verdict, and says which verdict that was', () => {
    expect(chooseCalibration('day', trial, all)).toMatchObject({
      from: ['own'],
      line: { interceptRaw: 9010 },
    });
    const rejected = chooseCalibration('day', trial, [at('own', 1, { day: 'd1', verdict: 'rejected' })]);
    expect(rejected.from).toEqual(['own']);
    expect(rejected.says).toContain('rejected');
    expect(chooseCalibration('day', trial, [at('x', 5)])).toMatchObject({ line: null, from: [] });
  });

  test('latest: the last accepted before the trial, never a rejected one', () => {
    expect(chooseCalibration('latest', trial, all).from).toEqual(['own']);
    expect(chooseCalibration('latest', { ...trial, atMs: 1005 }, all)).toMatchObject({ from: ['other'] });
    expect(chooseCalibration('latest', { ...trial, atMs: 1 }, all)).toMatchObject({ line: null, from: [] });
    expect(chooseCalibration('latest', trial, []).says).toContain('no accepted calibration');
  });

  test('interpolated: straight in time between before and after the day', () => {
    const chosen = chooseCalibration('interpolated', trial, all);
    expect(chosen.from).toEqual(['other', 'after']);
    expect(chosen.line).toMatchObject({
      interceptRaw: 9050,
      sensitivityRawPerKpa: 610.5,
      referenceU: 0,
      residualSdKpa: 0.01,
    });
    // Halfway: two independent fits weigh a half each, and the unknown way is |Δ|/(2√3) (JCGM 100 4.3.7).
    expect(chosen.line!.sensitivityU).toBeCloseTo(Math.hypot(0.5, 0.5, 3 / (2 * Math.sqrt(3))), 12);
    expect(chosen.line!.interceptU).toBeCloseTo(Math.hypot(2, 2, 300 / (2 * Math.sqrt(3))), 9);
    expect(chosen.says).toContain('50 % of the way');
    expect(chosen.says).toContain('known to 0.18 % (standard uncertainty): 0.12 % from the two calibrations');
    const unknown = chooseCalibration('interpolated', trial, [
      at('a', 900, { sensitivityU: null }),
      at('b', 1200),
    ]);
    expect(unknown.line).toMatchObject({ sensitivityU: null, residualSdKpa: 0.01 });
    expect(unknown.says).toContain('is not known, for one of them does not say');
    expect(chooseCalibration('interpolated', trial, all.slice(1, 5)).says).toContain('after day d1');
    expect(chooseCalibration('interpolated', trial, [at('b', 1200)]).says).toContain('before day d1');
    expect(chooseCalibration('interpolated', trial, [])).toMatchObject({ line: null });
  });

  test('between two: less known in the middle by the way, at the ends as the calibration there', () => {
    const [a, b] = [at('a', 900), at('b', 1200)];
    const u = (atMs: number, one = a, other = b) =>
      chooseCalibration('interpolated', { ...trial, atMs }, [one, other]).line!.sensitivityU!;
    expect(u(900)).toBeCloseTo(1, 12);
    expect(u(1200)).toBeCloseTo(1, 12);
    const most = 3 / (2 * Math.sqrt(3));
    for (let k = 0; k <= 10; k++) {
      const p = k / 10;
      const fits = Math.hypot(1 - p, p);
      expect(u(900 + 300 * p)).toBeGreaterThanOrEqual(fits - 1e-12);
      expect(u(900 + 300 * p)).toBeLessThanOrEqual(Math.hypot(fits, most) + 1e-12);
    }
    // One reference for both: its scale does not average.
    const [c, d] = [at('c', 900, { referenceU: 1 }), at('d', 1200, { referenceU: 1 })];
    expect(u(1050, c, d)).toBeCloseTo(Math.hypot(1, most), 12);
  });
});
