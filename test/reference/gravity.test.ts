/** Local gravity: GRS80 normal gravity (Moritz) and the free-air gradient. */
import { describe, expect, test } from 'vitest';
import { localGravity } from '../../core/sensor/hydrostatics.ts';
import { check, checks, expectWithin, titleOf } from './values.ts';

type Place = { readonly lat_deg: number };

describe('normal gravity', () => {
  test.each(
    checks<Place, number>('gravity.json', 'gravity.grs80').map((row) => [titleOf(row), row] as const),
  )('%s', (_, { inputs, expected, tolerance }) => {
    expectWithin(localGravity(inputs.lat_deg, 0), expected, tolerance);
    expectWithin(localGravity(-inputs.lat_deg, 0), expected, tolerance);
  });

  // WGS84 and GRS80 differ by 1.5·10⁻⁶ m/s² at the equator; an independent ellipsoid must agree within 2·10⁻⁶.
  test.each(
    checks<Place, number>('gravity.json', 'gravity.wgs84').map((row) => [titleOf(row), row] as const),
  )('GRS80 lies within 2·10⁻⁶ m/s² of %s', (_, { inputs, expected }) =>
    expectWithin(localGravity(inputs.lat_deg, 0), expected, { abs: 2e-6 }),
  );
});

describe('height', () => {
  const gradient = check<unknown, number>('gravity.json', 'gravity.freeair');
  test(titleOf(gradient), () => {
    const change = (localGravity(54.3, 1000)! - localGravity(54.3, 0)!) / 1000;
    expectWithin(change, gradient.expected, gradient.tolerance);
  });

  const high = check<{ readonly lat_deg: number; readonly h_m: number }, number>(
    'gravity.json',
    'gravity.lat45.h1000',
  );
  test(titleOf(high), () => {
    expectWithin(localGravity(high.inputs.lat_deg, high.inputs.h_m), high.expected, high.tolerance);
  });
});

test('no latitude beyond the poles has a gravity', () => {
  expect(localGravity(90.001, 0)).toBeNull();
  expect(localGravity(-91, 0)).toBeNull();
  expect(localGravity(NaN, 0)).toBeNull();
  expect(localGravity(50, Infinity)).toBeNull();
});
