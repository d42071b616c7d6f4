/**
 * Zero-lag Butterworth low-pass. Winter, Biomechanics and Motor Control of Human Movement, 4th ed., p. 69, and
 * Robertson et al., Research Methods in Biomechanics, 2nd ed., p. 288 (correction of the cutoff on the tangent);
 * coefficients and outputs by SciPy.
 */
import { describe, expect, test } from 'vitest';
import {
  designLowPass,
  lowPassZeroLag,
  passCorrection,
  type FilterSection,
} from '../../core/force/filter.ts';
import { check, checks, expectWithin, readData, titleOf } from './values.ts';

type Winter = Record<'C' | 'omega_c' | 'K1' | 'K2' | 'K3' | 'a0' | 'a1' | 'a2' | 'b1' | 'b2', number>;
interface CoefficientSet {
  readonly fs: number;
  readonly fc: number;
  readonly order2_uncorrected: { readonly b: number[]; readonly a: number[] };
  readonly order2_winter_two_pass_corrected: Winter;
  readonly order2_freq_corrected_fc_over_C: { readonly design_fc: number; b: number[]; a: number[] };
  readonly two_pass_gain_at_fc_tan_corrected: number;
  readonly two_pass_gain_at_fc_uncorrected: number;
  readonly order4_uncorrected: { readonly b: number[]; readonly a: number[]; readonly sos: number[][] };
}
interface Output {
  readonly order: number;
  readonly fc: number;
  readonly variant?: string;
  readonly filtfilt?: readonly number[];
  readonly sosfiltfilt?: readonly number[];
}
const reference = readData<{
  source_coefficients: string;
  source_corrected: string;
  source_vector: string;
  source_pezzack: string;
  coefficient_sets: readonly CoefficientSet[];
  test_vector: { readonly fs: number; readonly x: number[]; readonly outputs: readonly Output[] };
  pezzack: { readonly fs: number; readonly angle_rad: number[] };
}>('butterworth.json');

const tangent = (fc: number, fs: number) => Math.tan((Math.PI * fc) / fs);

/** The cutoff to ask of core's corrected filter so that each pass is designed at `designFc`. */
const askedFor = (designFc: number, fs: number, order: number) =>
  (fs / Math.PI) * Math.atan(tangent(designFc, fs) * passCorrection(order, 2));

function multiply(p: readonly number[], q: readonly number[]): number[] {
  const product = new Array<number>(p.length + q.length - 1).fill(0);
  p.forEach((a, i) => q.forEach((b, j) => (product[i + j] = product[i + j]! + a * b)));
  return product;
}

/** Numerator and denominator of all sections together, as polynomials in z⁻¹. */
function polynomials(sections: readonly FilterSection[]): { b: number[]; a: number[] } {
  return {
    b: sections.reduce((b, section) => multiply(b, section.b), [1]),
    a: sections.reduce((a, section) => multiply(a, [1, ...section.a]), [1]),
  };
}

/** Amplitude gain of one pass at a frequency: the product of the sections' gains. */
function gain(sections: readonly FilterSection[], f: number, fs: number): number {
  const w = (2 * Math.PI * f) / fs;
  const size = (p: readonly number[]) =>
    Math.hypot(
      p.reduce((sum, c, k) => sum + c * Math.cos(k * w), 0),
      p.reduce((sum, c, k) => sum + c * Math.sin(k * w), 0),
    );
  return sections.reduce((product, { b, a }) => (product * size(b)) / size([1, ...a]), 1);
}

function expectAll(actual: ArrayLike<number>, expected: readonly number[], room: number): void {
  expect(actual.length).toBe(expected.length);
  const worst = Math.max(...expected.map((value, k) => Math.abs(actual[k]! - value)));
  expect(worst).toBeLessThanOrEqual(room);
}

test('all fifteen pairs of rate and cutoff are there', () => {
  expect(reference.coefficient_sets).toHaveLength(15);
});

describe.each(reference.coefficient_sets.map((set) => [`${set.fs} Hz, cutoff ${set.fc} Hz`, set] as const))(
  '%s',
  (_, set) => {
    const { fs, fc } = set;

    test(`order 2 of one pass, uncorrected: ${reference.source_coefficients}`, () => {
      const { b, a } = polynomials(designLowPass(2, tangent(fc, fs)));
      expectAll(b, set.order2_uncorrected.b, 1e-12);
      expectAll(a, set.order2_uncorrected.a, 1e-12);
    });

    test('order 4 of one pass, uncorrected (SciPy signal.butter)', () => {
      const { b, a } = polynomials(designLowPass(4, tangent(fc, fs)));
      expectAll(b, set.order4_uncorrected.b, 1e-11);
      expectAll(a, set.order4_uncorrected.a, 1e-11);
    });

    test(`two-pass corrected, recipe of K1, K2, K3 (recipe from memory, equal to SciPy): ${reference.source_corrected}`, () => {
      const expected = set.order2_winter_two_pass_corrected;
      const warped = tangent(fc, fs) / passCorrection(2, 2);
      expect(warped).toBeCloseTo(expected.omega_c, 12);
      expect(passCorrection(2, 2)).toBeCloseTo(expected.C, 12);
      const [k1, k2] = [Math.SQRT2 * warped, warped ** 2];
      expectAll([k1, k2], [expected.K1, expected.K2], 1e-12);
      const [{ b, a }] = designLowPass(2, warped) as [FilterSection];
      expectAll(b, [expected.a0, expected.a1, expected.a2], 1e-12);
      expectAll(a, [-expected.b1, -expected.b2], 1e-12);
    });

    test('both passes together have the gain 1/√2 at the cutoff, for orders 1 to 10; 1/2 without the correction', () => {
      for (let order = 1; order <= 10; order++) {
        const corrected = designLowPass(order, tangent(fc, fs) / passCorrection(order, 2));
        expect(gain(corrected, fc, fs) ** 2).toBeCloseTo(Math.SQRT1_2, 9);
      }
      expect(set.two_pass_gain_at_fc_tan_corrected).toBeCloseTo(Math.SQRT1_2, 12);
      expect(gain(designLowPass(2, tangent(fc, fs)), fc, fs) ** 2).toBeCloseTo(
        set.two_pass_gain_at_fc_uncorrected,
        10,
      );
    });
  },
);

describe('correction factor C', () => {
  test.each(
    checks<{ passes: number; order: number }, number>('filter.json', 'filter.C.').map(
      (row) => [titleOf(row), row] as const,
    ),
  )('%s', (_, { inputs, expected, tolerance }) => {
    expectWithin(passCorrection(inputs.order, inputs.passes), expected, tolerance);
  });
});

describe(`sixty samples: ${reference.source_vector}`, () => {
  const { fs, x, outputs } = reference.test_vector;
  const uncorrected = outputs.filter((output) => output.variant === undefined);

  test.each(uncorrected.map((output) => [output.order, output.fc, output] as const))(
    'order %i, each pass at %i Hz',
    (order, fc, output) => {
      const filtered = lowPassZeroLag(
        Float64Array.from(x),
        fs,
        order,
        askedFor(fc, fs, order),
      ) as Float64Array;
      expectAll(filtered, output.sosfiltfilt!, 1e-10);
      expectAll(filtered, output.filtfilt!, 1e-10);
    },
  );

  test('order 2, both passes together at 6 Hz (corrected on the tangent)', () => {
    const corrected = outputs.find(({ variant }) => variant?.includes('effective'))!;
    expectAll(lowPassZeroLag(Float64Array.from(x), fs, 2, 6) as Float64Array, corrected.filtfilt!, 1e-10);
  });
});

describe(`residuals of a digitised knee angle: ${reference.source_pezzack}`, () => {
  const { fs, angle_rad: angle } = reference.pezzack;
  test.each(
    checks<{ fc: number }, number>('filter.json', 'filter.pezzack.res').map(
      (row) => [row.inputs.fc, row] as const,
    ),
  )(
    'root mean square of raw less filtered at %f Hz, each pass at fc/0.802',
    (fc, { expected, tolerance }) => {
      const asked = askedFor(fc / 0.802, fs, 2);
      const filtered = lowPassZeroLag(Float64Array.from(angle), fs, 2, asked) as Float64Array;
      const squares = angle.reduce((sum, value, k) => sum + (value - filtered[k]!) ** 2, 0);
      expectWithin(Math.sqrt(squares / angle.length), expected, tolerance);
    },
  );
});

describe('properties any low-pass must have', () => {
  const constant = check<unknown, number>('filter.json', 'filter.dc');
  test(titleOf(constant), () => {
    const filtered = lowPassZeroLag(new Float64Array(40).fill(constant.expected), 100, 2, 6) as Float64Array;
    for (const value of filtered) expectWithin(value, constant.expected, constant.tolerance);
  });

  const symmetry = check<unknown, string>('filter.json', 'filter.symmetry');
  test(titleOf(symmetry), () => {
    const pulse = Float64Array.from({ length: 101 }, (_, k) => Math.exp(-(((k - 50) / 6) ** 2)));
    const filtered = lowPassZeroLag(pulse, 100, 2, 6) as Float64Array;
    expect(filtered.indexOf(Math.max(...filtered))).toBe(50);
    for (let k = 1; k <= 40; k++) expect(filtered[50 - k]).toBeCloseTo(filtered[50 + k]!, 9);
  });
});

describe('orders 1 to 8 at several rates', () => {
  interface Vector {
    readonly order: number;
    readonly fs: number;
    readonly fc: number;
    readonly sosfiltfilt: number[];
  }
  const { source, series, vectors } = readData<{ source: string; series: number[]; vectors: Vector[] }>(
    'filter-vectors.json',
  );
  test.each(vectors.map((vector) => [vector.order, vector.fs, vector.fc, vector] as const))(
    `order %i, %f Hz, cutoff %f Hz: ${source}`,
    (order, fs, fc, { sosfiltfilt }) => {
      expectAll(lowPassZeroLag(Float64Array.from(series), fs, order, fc) as Float64Array, sosfiltfilt, 1e-10);
    },
  );
});
