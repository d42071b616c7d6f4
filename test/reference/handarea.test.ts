/** Hand area against published values: DuBois & DuBois 1916, Rhodes et al. 2013, and known polygons. */
import { describe, expect, test } from 'vitest';
import { duBoisSurfaceM2, estimatedArea } from '../../core/force/handarea.ts';
import { tracedArea } from '../../core/force/tracedarea.ts';
import { outlineArea } from '../../core/force/outline.ts';
import { expectWithin } from './values.ts';

const xy = (pairs: readonly (readonly [number, number])[]) => pairs.map(([x, y]) => ({ x, y }));
const area = (pairs: readonly (readonly [number, number])[]) => {
  const outcome = outlineArea(xy(pairs));
  return outcome.ok ? outcome.value : NaN;
};

describe('body surface: DuBois & DuBois 1916, Arch Intern Med 17:863–871, formula opened', () => {
  test.each([
    [170, 70, 1.809708],
    [190, 80, 2.076232],
    [165, 60, 1.658657],
    [180, 75, 1.942406],
    [150, 45, 1.36977],
  ])('%d cm, %d kg: %d m²', (height, mass, m2) =>
    expectWithin(duBoisSurfaceM2(height, mass), m2, { abs: 1e-6 }),
  );
  test('their nomogram’s 200 cm, 100 kg: 2.36 m² (from memory)', () =>
    expectWithin(duBoisSurfaceM2(200, 100), 2.36, { abs: 0.02 }));
});

describe('0.87 % of it: Rhodes et al. 2013, Br J Dermatol 169:76–84 (abstract opened)', () => {
  test.each([
    [190, 80, 180.63],
    [170, 60, 147.46],
  ])('%d cm, %d kg: %d cm²', (height, mass, cm2) => {
    const estimate = estimatedArea(height, mass, 25);
    if (!estimate.ok) throw new Error(estimate.error.says);
    expectWithin(estimate.value.cm2, cm2, { abs: 0.005 });
    expectWithin(estimate.value.uCm2, cm2 / 10, { abs: 0.001 });
    expect(estimate.value.method).toBe('estimated');
  });
});

describe('shoelace formula', () => {
  test('surveyor’s example (1,6) (3,1) (7,2) (4,4) (8,5): 16.5 (widely printed, from memory)', () =>
    expect(
      area([
        [1, 6],
        [3, 1],
        [7, 2],
        [4, 4],
        [8, 5],
      ]),
    ).toBe(16.5));
  test('right triangle 3-4-5: 6; unit square: 1 (Euclid)', () => {
    expect(
      area([
        [0, 0],
        [3, 0],
        [0, 4],
      ]),
    ).toBe(6);
    expect(
      area([
        [0, 0],
        [1, 0],
        [1, 1],
        [0, 1],
      ]),
    ).toBe(1);
  });
  test('lattice polygon by Pick’s theorem 1899: 6 points inside, 10 on the edge, 6 + 10/2 − 1 = 10', () =>
    expect(
      area([
        [0, 0],
        [4, 0],
        [4, 2],
        [2, 3],
        [0, 2],
      ]),
    ).toBe(10));
  test('regular 360-gon of radius 1: 180·sin 1° (geometry)', () => {
    const round = Array.from({ length: 360 }, (_, k): [number, number] => [
      Math.cos((k * Math.PI) / 180),
      Math.sin((k * Math.PI) / 180),
    ]);
    expect(area(round)).toBeCloseTo(180 * Math.sin(Math.PI / 180), 12);
  });
  test('an outline in cm: 143.95 cm² (geometry)', () =>
    expect(
      area([
        [0, 0],
        [8, 0],
        [8.6, 9.5],
        [7, 19],
        [2, 19],
        [0, 10],
      ]),
    ).toBeCloseTo(143.95, 9));
});

test('254 000 px² at 40 px/cm are 158.75 cm², and 1 % in the distance is 2 % in the area (JCGM 100 5.1.6)', () => {
  const outline = xy([
    [0, 0],
    [508, 0],
    [508, 500],
    [0, 500],
  ]);
  const points = [
    { x: 0, y: 0 },
    { x: 400, y: 0 },
  ] as const;
  const traced = tracedArea(outline, {
    kind: 'two_points',
    points,
    distanceCm: 10,
    distanceUCm: 0.1,
    clickUPx: 0,
  });
  if (!traced.ok) throw new Error(traced.error.says);
  expect(traced.value.cm2).toBeCloseTo(158.75, 9);
  expectWithin(traced.value.scaleUCm2, 158.75 * 0.02, { rel: 1e-6 });
});
