/** Propagation of uncertainty against JCGM 100:2008 H.1 (end gauge) and H.2 (correlated inputs). */
import { describe, expect, test } from 'vitest';
import { forceBudget, propagate, type BudgetInput } from '../../core/sensor/budget.ts';
import { effectiveCoverageFactor, fitLine, mean, standardDeviation } from '../../core/base/statistics.ts';
import { normal } from './random.ts';
import { expectWithin } from './values.ts';

describe('H.1 end gauge (components and 50 000 838(32) nm opened in public documentation; U99 from memory)', () => {
  const LENGTH = 50_000_623;
  const input = (name: string, value: number, u: number, degreesOfFreedom: number): BudgetInput => ({
    name,
    value,
    u,
    degreesOfFreedom,
  });
  const inputs = [
    input('l_S', LENGTH, 25, 18),
    input('d, repeated', 215, 5.8, 24),
    input('d, comparator random', 0, 3.9, 5),
    input('d, comparator systematic', 0, 6.7, 8),
    input('δα', 0, 1e-6 / Math.sqrt(3), 50),
    input('θ', -0.1, 0.41, Infinity),
    input('α_S', 11.5e-6, 2e-6 / Math.sqrt(3), Infinity),
    input('δθ', 0, 0.05 / Math.sqrt(3), 2),
  ];
  const evaluate = ([l, d0, d1, d2, da, t, a, dt]: readonly number[]) =>
    l! + d0! + d1! + d2! - l! * (da! * t! + a! * dt!);
  const gauge = propagate({ evaluate }, inputs, null, 0.99);

  test('length, u_c and effective degrees of freedom from the model', () => {
    expectWithin(gauge.value, 50_000_838, { abs: 1e-6 });
    expectWithin(gauge.u, 31.66386517, { rel: 2e-6 });
    expectWithin(gauge.degreesOfFreedom, 16.7518953, { rel: 1e-5 });
  });

  test('components of table H.1: 25, 5.8, 3.9, 6.7, 2.9, 0, 0, 16.6 nm', () =>
    gauge.components.forEach((component, k) =>
      expectWithin(Math.abs(component), [25, 5.8, 3.9, 6.7, 2.9, 0, 0, 16.6][k]!, { abs: 0.05 }),
    ));

  test('U99 = t99(16)·32 nm = 2.92 · 32 nm = 93 nm', () => {
    expectWithin(gauge.coverageFactor, 2.9207816224251, { rel: 1e-9 });
    expect(Math.round(2.92 * Math.round(gauge.u))).toBe(93);
    expectWithin(gauge.expanded, 93, { abs: 0.6 });
  });

  test('the same from given coefficients', () => {
    const given = propagate({ value: 50_000_838, coefficients: gauge.coefficients }, inputs, null, 0.99);
    expect(given.u).toBeCloseTo(gauge.u, 9);
  });
});

describe('H.2 simultaneous resistance and reactance (raw data opened in public metrology libraries)', () => {
  const V = [5.007, 4.994, 5.005, 4.99, 4.999];
  const I = [0.019663, 0.019639, 0.01964, 0.019685, 0.019678];
  const PHI = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
  const series = [V, I, PHI];
  const correlated = (a: readonly number[], b: readonly number[]) => {
    const [ma, mb] = [mean(a)!, mean(b)!];
    const products = a.reduce((sum, value, k) => sum + (value - ma) * (b[k]! - mb), 0);
    return products / (4 * standardDeviation(a)! * standardDeviation(b)!);
  };
  const matrix = series.map((a, i) =>
    series.map((b, j) => (i === j ? 1 : i < j ? correlated(a, b) : correlated(b, a))),
  );
  const inputs = series.map((values, k) => ({
    name: ['V', 'I', 'φ'][k]!,
    value: mean(values)!,
    u: standardDeviation(values)! / Math.sqrt(5),
    degreesOfFreedom: 4,
  }));

  test('correlations of the means: −0.36, 0.86, −0.65 as printed', () => {
    expectWithin(matrix[0]![1]!, -0.36, { abs: 0.005 });
    expectWithin(matrix[0]![2]!, 0.86, { abs: 0.005 });
    expectWithin(matrix[1]![2]!, -0.65, { abs: 0.005 });
  });

  test.each([
    [
      'R',
      ([v, i, p]: readonly number[]) => (v! / i!) * Math.cos(p!),
      127.73216992810208,
      0.07107140739699545,
    ],
    ['X', ([v, i, p]: readonly number[]) => (v! / i!) * Math.sin(p!), 219.84651191263848, 0.295581677358644],
    ['Z', ([v, i]: readonly number[]) => v! / i!, 254.25970194801894, 0.23633613008237758],
  ] as const)('%s', (_name, evaluate, value, u) => {
    const result = propagate({ evaluate }, inputs, matrix);
    expectWithin(result.value, value, { rel: 1e-12 });
    // The quotient over ±u differs from the derivative in the second order of u.
    expectWithin(result.u, u, { rel: 1e-5 });
    expect(result.degreesOfFreedom).toBeCloseTo(4, 9);
  });

  test('without the correlations u(R) would be 0.195 Ω (JCGM 100 5.2.2: they must not be left out)', () => {
    const evaluate = ([v, i, p]: readonly number[]) => (v! / i!) * Math.cos(p!);
    expectWithin(propagate({ evaluate }, inputs).u, 0.195, { abs: 0.0005 });
  });
});

describe('coverage factors', () => {
  test('infinite degrees of freedom: 1.959964 and 2.575829 (normal distribution, ISO 3534-1)', () => {
    expectWithin(effectiveCoverageFactor(0.95, Infinity), 1.959963984540054, { rel: 1e-9 });
    expectWithin(effectiveCoverageFactor(0.99, Infinity), 2.5758293035489, { rel: 1e-9 });
  });
  test('16.75 is cut down to 16, and 9 less dust stays 9', () => {
    expect(effectiveCoverageFactor(0.99, 16.75)).toBe(effectiveCoverageFactor(0.99, 16));
    expectWithin(effectiveCoverageFactor(0.95, 9 - 1e-12), 2.262157162798205, { rel: 1e-9 });
  });
});

test('taps 10 mm apart at 26 °C give 97.75 Pa, a false 1.466 N on 150 cm² (hydrostatics, reference pack section 1)', () => {
  const budget = forceBudget({
    forceN: 80,
    areaCm2: 150,
    areaUCm2: 0,
    sensitivity: 3650,
    sensitivityFitU: 0,
    referenceScale: 0,
    residualSdKpa: 0,
    calibrationDegreesOfFreedom: 12,
    zeroUKpa: 0,
    fittedZero: null,
    tapUKpa: 0.09775 / Math.sqrt(3),
  })!;
  const tap = budget.parts.find(({ source }) => source === 'tap_depth')!;
  // Rectangular: half-width over √3 (JCGM 100 4.3.7).
  expectWithin(tap.uN, 1.466 / Math.sqrt(3), { abs: 0.0005 });
  expect(tap.sharePct).toBeCloseTo(100, 9);
  expectWithin(budget.total.uN, tap.uN, { rel: 1e-12 });
});

describe('a fitted zero against propagation of distributions (JCGM 101:2008, by simulation)', () => {
  const AREA = 150;
  const SD_RAW = 40;
  const APPLIED = [0, 2, 4, 6, 8, 10, 12, 12, 10, 8, 6, 4, 2, 0];
  const TRIALS = 20_000;

  /** The scatter of the force at one true pressure, over many calibrations of one sensor, by least squares. */
  function simulated(sensitivity: number, kpa: number): number {
    const draw = normal(20_010_101);
    const n = APPLIED.length;
    const centre = APPLIED.reduce((sum, x) => sum + x, 0) / n;
    const sxx = APPLIED.reduce((sum, x) => sum + (x - centre) ** 2, 0);
    const forces = Array.from({ length: TRIALS }, () => {
      const raws = APPLIED.map((x) => 32_000 + sensitivity * x + SD_RAW * draw());
      const mid = raws.reduce((sum, y) => sum + y, 0) / n;
      const slope = raws.reduce((sum, y, k) => sum + (APPLIED[k]! - centre) * (y - mid), 0) / sxx;
      const reading = 32_000 + sensitivity * kpa + SD_RAW * draw();
      return (0.1 * AREA * (reading - (mid - slope * centre))) / slope;
    });
    const at = forces.reduce((sum, f) => sum + f, 0) / TRIALS;
    return Math.sqrt(forces.reduce((sum, f) => sum + (f - at) ** 2, 0) / (TRIALS - 1));
  }

  test.each([
    [600, 8],
    [-600, 8],
    [600, -8],
    [-600, -8],
  ])('sensitivity %d raw/kPa at %d kPa', (sensitivity, kpa) => {
    const line = fitLine(
      APPLIED,
      APPLIED.map((x, k) => 32_000 + sensitivity * x + (k % 2 === 0 ? 1 : -1)),
    )!;
    const size = Math.abs(sensitivity);
    const budget = forceBudget({
      forceN: 0.1 * AREA * kpa,
      areaCm2: AREA,
      areaUCm2: 0,
      sensitivity,
      // The uncertainties of the design for a scatter that is known: JCGM 100 H.3.3.
      sensitivityFitU: SD_RAW / Math.sqrt(line.sumSquaresX),
      referenceScale: 0,
      residualSdKpa: SD_RAW / size,
      calibrationDegreesOfFreedom: APPLIED.length - 2,
      zeroUKpa: 0,
      fittedZero: {
        uKpa: (SD_RAW / size) * Math.sqrt(1 / line.n + line.meanX ** 2 / line.sumSquaresX),
        correlation: line.correlation!,
      },
      tapUKpa: 0,
    })!;
    // The standard deviation of 20 000 draws is known to 0.5 %; a wrong sign would be 20 % off.
    expectWithin(budget.withFittedZero!.uN, simulated(sensitivity, kpa), { rel: 0.02 });
  });
});
