/** The worked example of a straight calibration line: JCGM 100:2008 annex H.3. */
import { describe, expect, test } from 'vitest';
import { coverageFactor, fitLine, predict } from '../../core/base/statistics.ts';
import { check, expectWithin, readData, titleOf } from './values.ts';

type Readings = {
  readonly t_k_C: readonly number[];
  readonly b_k_C: readonly number[];
  readonly t0_C: number;
};
type Results = Record<'y1' | 'u_y1' | 'y2' | 'u_y2' | 'r' | 's' | 'b_30C' | 'u_b_30C', number>;

describe.each(['gum.h3.printed', 'gum.h3.full'])('%s', (id) => {
  const entry = check<Readings, Results>('gum-h3.json', id);
  const { inputs, expected, tolerance } = entry;
  const line = fitLine(
    inputs.t_k_C.map((t) => t - inputs.t0_C),
    inputs.b_k_C,
  )!;
  // The printed values carry as many digits as they show.
  const within = (actual: number | null, name: keyof Results) => {
    const printed = { r: 5e-4, y2: 5e-6, u_y2: 5e-6 }[name as string];
    expectWithin(actual, expected[name], id === 'gum.h3.printed' ? { abs: printed ?? 5e-5 } : tolerance);
  };

  test(titleOf(entry), () => {
    within(line.intercept, 'y1');
    within(line.interceptU, 'u_y1');
    within(line.slope, 'y2');
    within(line.slopeU, 'u_y2');
    within(line.residualSd, 's');
  });

  test('correlation of intercept and slope', () => {
    if (id === 'gum.h3.printed') expectWithin(line.correlation, expected.r, { abs: 0.005 });
    else within(line.correlation, 'r');
  });

  test('correction at 30 °C with the covariance', () => {
    const at30 = predict(line, 30 - inputs.t0_C);
    within(at30.value, 'b_30C');
    within(at30.u, 'u_b_30C');
  });

  test('the covariance counts: leaving it out would give 0.00727 °C (H.3.5)', () => {
    const withoutIt = Math.hypot(line.interceptU!, 10 * line.slopeU!);
    expect(withoutIt).toBeCloseTo(0.00727, 5);
    expect(predict(line, 10).u!).toBeLessThan(withoutIt);
  });
});

describe('coverage', () => {
  const entry = check<{ u: number; dof: number }, { k: number; U: number }>('gum-h3.json', 'gum.h3.U95');
  test(titleOf(entry), () => {
    const k = coverageFactor(0.95, entry.inputs.dof);
    expectWithin(k, entry.expected.k, entry.tolerance);
    expectWithin(k * entry.inputs.u, entry.expected.U, entry.tolerance);
  });

  type Factor = { readonly probability: number; readonly dof: number; readonly k: number };
  const { source, coverage } = readData<{ source: string; coverage: readonly Factor[] }>('lines.json');
  test(`coverage factors: ${source}`, () => {
    for (const { probability, dof, k } of coverage)
      expectWithin(coverageFactor(probability, dof), k, { rel: 1e-9 });
  });

  test('t of JCGM 100:2008 table G.2, as printed (from memory)', () => {
    for (const [dof, k95, k99] of [
      [1, 12.71, 63.66],
      [2, 4.3, 9.92],
      [5, 2.57, 4.03],
      [10, 2.23, 3.17],
      [20, 2.09, 2.85],
      [50, 2.01, 2.68],
    ] as const) {
      expectWithin(coverageFactor(0.95, dof), k95, { abs: 0.005 });
      expectWithin(coverageFactor(0.99, dof), k99, { abs: 0.005 });
    }
  });
});
