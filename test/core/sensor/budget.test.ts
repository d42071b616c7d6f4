/** The force budget of a hand, a sensor's history, and which calibration a trial uses. */
import { describe, expect, test } from 'vitest';
import { fitLine, standardDeviation } from '../../../core/base/statistics.ts';
import { normal } from '../../reference/random.ts';
import { forceBudget, propagate, type ForceBudgetInput } from '../../../core/sensor/budget.ts';

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

  test.each([600, -600])(
    'a fitted zero of a sensor of %i raw/kPa: as a simulation of its calibration scatters',
    (sensitivity) => {
      // Seven pressures read with a noise of 12 raw, again and again: the scatter of the force that one raw value gives.
      const draw = normal(7);
      const applied = [0, 2.5, 5, 7.5, 10, 12.5, 15];
      const fitOf = (noise: () => number) =>
        fitLine(
          applied,
          applied.map((kpa) => 8000 + sensitivity * kpa + noise()),
        )!;
      const raw = 8000 + sensitivity * 6;
      const forces = Array.from({ length: 20_000 }, () => {
        const { intercept, slope } = fitOf(() => 12 * draw());
        return (15 * (raw - intercept)) / slope;
      });
      // What the fit itself says, for that noise (JCGM 100 H.3.5): u(a), u(b) and r(a, b) from the pressures alone.
      const mean = applied.reduce((sum, kpa) => sum + kpa, 0) / applied.length;
      const squares = applied.reduce((sum, kpa) => sum + (kpa - mean) ** 2, 0);
      const interceptU = 12 * Math.sqrt(1 / applied.length + mean ** 2 / squares);
      const found = forceBudget({
        ...input,
        sensitivity,
        sensitivityFitU: 12 / Math.sqrt(squares),
        referenceScale: 0,
        residualSdKpa: 0,
        areaUCm2: 0,
        zeroUKpa: 0,
        tapUKpa: 0,
        fittedZero: { uKpa: interceptU / 600, correlation: fitOf(draw).correlation! },
      })!;
      expect(found.withFittedZero!.uN / standardDeviation(forces)!).toBeCloseTo(1, 1.5);
    },
  );

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
