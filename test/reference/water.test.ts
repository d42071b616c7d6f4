/** Water density: Tanaka et al. 2001, Metrologia 38:301–309, and an independent formula. */
import { describe, expect, test } from 'vitest';
import { waterDensity } from '../../core/sensor/hydrostatics.ts';
import { check, checks, expectWithin, titleOf } from './values.ts';

type Temperature = { readonly t_C: number };

/**
 * Density of water, kg/m³, at t °C by the ITS-90 form of Kell's equation (Bettin & Spieweck), stated uncertainty
 * 0.006 kg/m³. Coefficients from memory; they are checked below against the values computed from an opened page.
 */
function kellDensity(t: number): number {
  const above =
    999.83952 +
    16.952577 * t -
    7.9905127e-3 * t ** 2 -
    46.241757e-6 * t ** 3 +
    105.84601e-9 * t ** 4 -
    281.03006e-12 * t ** 5;
  return above / (1 + 16.887236e-3 * t);
}

describe('density of pure water', () => {
  const rows = checks<Temperature, number>('water.json', 'water.rho.').filter(({ id }) => /\.\d+C$/.test(id));
  const tanaka = rows.filter(({ id }) => !id.includes('kell'));

  test('every row of the table is there', () => expect(tanaka).toHaveLength(12));

  test.each(tanaka.map((row) => [titleOf(row), row] as const))('%s', (_, { inputs, expected, tolerance }) => {
    expectWithin(waterDensity(inputs.t_C), expected, tolerance);
  });

  test.each(
    checks<Temperature, number>('water.json', 'water.rho.kell').map((row) => [titleOf(row), row] as const),
  )(
    '%s: the formula above gives it, and core agrees within its uncertainty',
    (_, { inputs, expected, tolerance }) => {
      expectWithin(kellDensity(inputs.t_C), expected, tolerance);
      expectWithin(waterDensity(inputs.t_C), expected, { abs: 0.006 });
    },
  );

  test('two independent formulas agree within 0.006 kg/m³ everywhere from 0 to 40 °C (IP Standard Methods 1998, App. G)', () => {
    for (let t = 0; t <= 40; t += 0.25) expectWithin(waterDensity(t), kellDensity(t), { abs: 0.006 });
  });

  const range = check<{ readonly t_C: readonly number[] }, string>('water.json', 'water.rho.range');
  test(titleOf(range), () => {
    for (const t of [...range.inputs.t_C, NaN, Infinity]) expect(waterDensity(t)).toBeNull();
  });
});
