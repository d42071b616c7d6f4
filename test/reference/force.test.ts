/** Force = pressure difference × hand area (Koga et al. 2020, Sports Biomech, abstract), its integral and uncertainty. */
import { describe, expect, test } from 'vitest';
import { handForce, strokeForce } from '../../core/force/force.ts';
import { type ForceParts, forceSpread, forceU } from '../../core/force/uncertainty.ts';
import { check, checks, expectWithin, readData, titleOf, type Check } from './values.ts';

const forceOf = (kpa: number, areaCm2: number) => handForce(Float64Array.of(kpa), areaCm2)[0]!;

describe('one pressure, one area', () => {
  type Inputs = {
    dp_kPa?: number;
    p_kPa?: number;
    palm_kPa?: number;
    back_kPa?: number;
    area_cm2?: number;
    A_cm2?: number;
  };
  const rows = ['unit.kPa.cm2', 'force.basic', 'force.neg'].flatMap((id) =>
    checks<Inputs, number>('force.json', id),
  );
  test.each(rows.map((row) => [titleOf(row), row] as const))('%s', (_, { inputs, expected, tolerance }) => {
    const kpa = inputs.dp_kPa ?? inputs.p_kPa ?? inputs.palm_kPa! - inputs.back_kPa!;
    expectWithin(forceOf(kpa, inputs.area_cm2 ?? inputs.A_cm2!), expected, tolerance);
  });

  const area = check<
    { A_true: number; A_used: number; dp_kPa: number },
    { F_true: number; F_used: number; pct: number }
  >('force.json', 'hand.force.sens');
  test(titleOf(area), () => {
    const [right, wrong] = [area.inputs.A_true, area.inputs.A_used].map((cm2) =>
      forceOf(area.inputs.dp_kPa, cm2),
    );
    expectWithin(right!, area.expected.F_true, area.tolerance);
    expectWithin(wrong!, area.expected.F_used, area.tolerance);
    expectWithin(100 * (wrong! / right! - 1), area.expected.pct, area.tolerance);
  });
});

describe('integral over an interval', () => {
  type Series = { dt_s: number; F_N: readonly number[] };
  const whole = ({ inputs }: Check<Series, unknown>) => {
    const end = inputs.dt_s * (inputs.F_N.length - 1);
    const found = strokeForce(Float64Array.from(inputs.F_N), { startS: 0, rateHz: 1 / inputs.dt_s }, 0, end);
    if (found === 'outside_trace') throw new Error(found);
    return found;
  };
  const impulse = check<Series, number>('force.json', 'force.impulse.trapz');
  test(titleOf(impulse), () => expectWithin(whole(impulse).impulseNs, impulse.expected, impulse.tolerance));

  const mean = check<Series, { impulse_over_duration: number }>('force.json', 'force.mean');
  test(titleOf(mean), () =>
    expectWithin(whole(mean).meanN, mean.expected.impulse_over_duration, mean.tolerance),
  );

  interface Fixture {
    readonly source: string;
    readonly rate_hz: number;
    readonly start_s: number;
    readonly force_n: readonly number[];
    readonly intervals: readonly {
      start_s: number;
      end_s: number;
      impulse_ns: number;
      mean_n: number;
      peak_n: number | null;
    }[];
  }
  const fixture = readData<Fixture>('force-integrals.json');
  test.each(fixture.intervals.map((interval) => [interval.start_s, interval.end_s, interval] as const))(
    `from %f s to %f s: ${fixture.source}`,
    (start, end, { impulse_ns: impulseNs, mean_n: meanN, peak_n: peakN }) => {
      const grid = { startS: fixture.start_s, rateHz: fixture.rate_hz };
      const found = strokeForce(Float64Array.from(fixture.force_n), grid, start, end);
      if (found === 'outside_trace') throw new Error(found);
      expect(found.impulseNs).toBeCloseTo(impulseNs, 10);
      expect(found.meanN).toBeCloseTo(meanN, 8);
      expect(found.peakN).toBe(peakN);
    },
  );
});

describe('uncertainty of a product', () => {
  const product = check<
    { dp_kPa: number; u_dp_kPa: number; A_cm2: number; u_A_cm2: number },
    { F_N: number; u_N: number }
  >('force.json', 'force.unc');
  const { dp_kPa: kpa, u_dp_kPa: uKpa, A_cm2: cm2, u_A_cm2: uCm2 } = product.inputs;
  const uOf = (part: Partial<ForceParts>) =>
    forceU(
      forceOf(kpa, cm2),
      forceSpread({
        area: uCm2 / cm2,
        scale: 0,
        residualKpa: 0,
        zeroKpa: 0,
        tapKpa: 0,
        areaCm2: cm2,
        ...part,
      }),
    );

  test(`${titleOf(product)}: all of the pressure's part from the residual scatter`, () => {
    expectWithin(forceOf(kpa, cm2), product.expected.F_N, product.tolerance);
    expectWithin(uOf({ residualKpa: uKpa }), product.expected.u_N, product.tolerance);
  });

  test(`${titleOf(product)}: all of it from the sensitivity`, () => {
    expectWithin(uOf({ scale: uKpa / kpa }), product.expected.u_N, product.tolerance);
  });

  test(`${titleOf(product)}: all of it from the zero, or from the taps’ depth`, () => {
    expectWithin(uOf({ zeroKpa: uKpa }), product.expected.u_N, product.tolerance);
    expectWithin(uOf({ tapKpa: uKpa }), product.expected.u_N, product.tolerance);
  });
});
