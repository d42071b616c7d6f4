/** Pressure of a water column and pressure units. */
import { describe, expect, test } from 'vitest';
import {
  depthToKpa,
  localGravity,
  toKpa,
  waterDensity,
  type PressureUnit,
} from '../../core/sensor/hydrostatics.ts';
import { handForce } from '../../core/force/force.ts';
import { check, checks, expectWithin, titleOf } from './values.ts';

type Column = { readonly t_C: number; readonly g: number; readonly h_m: number };

describe('pressure under a column of water', () => {
  const examples = checks<Column, number>('pressure.json', 'hydro.').filter(({ inputs }) => 'h_m' in inputs);

  test.each(examples.map((row) => [titleOf(row), row] as const))(
    '%s',
    (_, { inputs, expected, tolerance }) => {
      const water = { densityKgM3: waterDensity(inputs.t_C)!, gravityMS2: inputs.g };
      expectWithin(1000 * depthToKpa(inputs.h_m, water), expected, tolerance);
      expectWithin(1000 * toKpa(inputs.h_m, 'm_water', water)!, expected, tolerance);
    },
  );

  const tap = check<{ t_C: number; g: number; dz_m: number; area_cm2: number }, { Pa: number; N: number }>(
    'pressure.json',
    'hydro.tap.offset',
  );
  test(titleOf(tap), () => {
    const water = { densityKgM3: waterDensity(tap.inputs.t_C)!, gravityMS2: tap.inputs.g };
    const kpa = depthToKpa(tap.inputs.dz_m, water);
    expectWithin(1000 * kpa, tap.expected.Pa, tap.tolerance);
    expectWithin(handForce(Float64Array.of(kpa), tap.inputs.area_cm2)[0]!, tap.expected.N, tap.tolerance);
  });

  test('local gravity enters by its ratio to the standard one (definition)', () => {
    const densityKgM3 = waterDensity(27)!;
    const here = depthToKpa(1, { densityKgM3, gravityMS2: localGravity(54.3, 40)! });
    const standard = depthToKpa(1, { densityKgM3, gravityMS2: 9.80665 });
    expect(here / standard).toBeCloseTo(localGravity(54.3, 40)! / 9.80665, 12);
  });

  test('a depth without the water gives nothing', () => expect(toKpa(1, 'm_water', null)).toBeNull());
});

describe('pressure units', () => {
  test.each(
    checks<Record<string, number>, number>('pressure.json', 'unit.').map(
      (row) => [titleOf(row), row] as const,
    ),
  )('%s', (_, { inputs, expected, tolerance }) => {
    const [unit, amount] = Object.entries(inputs)[0]!;
    expectWithin(1000 * toKpa(amount, unit as PressureUnit, null)!, expected, tolerance);
  });

  test('SI multiples (SI Brochure; the millibar is 100 Pa)', () => {
    expect(toKpa(3.2, 'kPa', null)).toBe(3.2);
    expect(toKpa(3200, 'Pa', null)).toBe(3.2);
    expect(toKpa(32, 'mbar', null)).toBeCloseTo(3.2, 14);
  });

  test('a standard atmosphere is 101 325 Pa, 1013.25 mbar, 760 mmHg within 2·10⁻⁷ (NIST SP 811, from memory)', () => {
    expect(toKpa(1013.25, 'mbar', null)).toBeCloseTo(101.325, 10);
    expect(Math.abs(toKpa(760, 'mmHg', null)! / 101.325 - 1)).toBeLessThan(2e-7);
    expect(Math.abs(toKpa(14.695948775, 'psi', null)! / 101.325 - 1)).toBeLessThan(1e-9);
  });
});
