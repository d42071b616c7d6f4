/** The area of an outline, and a photographed rectangle straightened. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { tracedArea, type PhotoScale } from '../../../core/force/tracedarea.ts';
import {
  outlineArea,
  rectangleHomography,
  toPlane,
  type Corners,
  type Point,
} from '../../../core/force/outline.ts';

const xy = (...pairs: (readonly [number, number])[]): Point[] => pairs.map(([x, y]) => ({ x, y }));

function value<T>(outcome: { ok: true; value: T } | { ok: false; error: { says: string } }): T {
  if (!outcome.ok) throw new Error(outcome.error.says);
  return outcome.value;
}

const code = (outcome: { ok: true } | { ok: false; error: { code: string; says: string; todo: string } }) => {
  if (outcome.ok) return null;
  expect([outcome.error.says, outcome.error.todo].every((text) => text.endsWith('.'))).toBe(true);
  return outcome.error.code;
};

/** A star-shaped outline around a centre: it never crosses itself. */
const star = fc
  .array(fc.double({ min: 20, max: 100, noNaN: true }), { minLength: 3, maxLength: 40 })
  .map((radii) =>
    radii.map((radius, k) => {
      const angle = (2 * Math.PI * k) / radii.length;
      return { x: 500 + radius * Math.cos(angle), y: 400 + radius * Math.sin(angle) };
    }),
  );

describe('the area of an outline', () => {
  test('does not depend on the sense, the starting point, repeated points, or where it lies', () => {
    fc.assert(
      fc.property(star, fc.integer({ min: 0, max: 39 }), (outline, turn) => {
        const area = value(outlineArea(outline));
        const from = turn % outline.length;
        const same = (points: Point[]) => expect(value(outlineArea(points)) / area).toBeCloseTo(1, 9);
        same(outline.toReversed());
        same([...outline.slice(from), ...outline.slice(0, from)]);
        same([...outline, outline[0]!]);
        same(outline.flatMap((point) => [point, point]));
        same(outline.map(({ x, y }) => ({ x: x + 1e6, y: y - 1e6 })));
      }),
      { numRuns: 100 },
    );
  });

  test('adds up when an outline is cut in two', () => {
    fc.assert(
      fc.property(star, (outline) => {
        const centre = { x: 500, y: 400 };
        const parts = outline.map((point, k) => [centre, point, outline[(k + 1) % outline.length]!]);
        if (outline.length === 3 || outline.length === 4) return;
        const sum = parts.reduce((total, part) => total + value(outlineArea(part)), 0);
        expect(sum / value(outlineArea(outline))).toBeCloseTo(1, 9);
      }),
      { numRuns: 50 },
    );
  });

  test('is refused below three points, in one line, and where the outline crosses, touches or folds back', () => {
    expect(code(outlineArea([]))).toBe('too_few_points');
    expect(code(outlineArea(xy([1, 1])))).toBe('too_few_points');
    expect(code(outlineArea(xy([0, 0], [1, 0], [0, 0])))).toBe('too_few_points');
    expect(code(outlineArea(xy([0, 0], [1, 1], [2, 2])))).toBe('too_few_points');
    expect(code(outlineArea(xy([0, 0], [2, 2], [2, 0], [0, 2])))).toBe('outline_crosses');
    expect(code(outlineArea(xy([0, 0], [4, 0], [4, 4], [2, 0], [0, 4])))).toBe('outline_crosses');
    expect(code(outlineArea(xy([0, 0], [4, 0], [2, 0], [2, 4])))).toBe('outline_crosses');
    expect(code(outlineArea(xy([0, 0], [2, 0], [4, 0], [4, 4], [0, 4])))).toBeNull();
  });
});

/** A camera looking obliquely at a plane: cm to px. */
function photograph({ x, y }: Point, tilt: number, turn: number): Point {
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const [u, v] = [c * x - s * y, s * x + c * y];
  const depth = 60 + v * Math.sin(tilt) + u * 0.1;
  return { x: 2000 + (3000 * u) / depth, y: 1500 + (3000 * v * Math.cos(tilt)) / depth };
}

describe('a photographed rectangle', () => {
  const A4 = xy([0, 0], [29.7, 0], [29.7, 21], [0, 21]);
  const hand = xy([3, 3], [11, 3], [11.6, 12.5], [10, 20], [5, 20], [3, 13]);
  const truth = value(outlineArea(hand));
  const view = fc.record({
    tilt: fc.double({ min: -0.7, max: 0.7, noNaN: true }),
    turn: fc.double({ min: -Math.PI, max: Math.PI, noNaN: true }),
  });
  const shot = (points: readonly Point[], { tilt, turn }: { tilt: number; turn: number }) =>
    points.map((point) => photograph(point, tilt, turn));

  test('brings points and area back from any view, clicked in either sense', () => {
    fc.assert(
      fc.property(view, fc.boolean(), (seen, turned) => {
        const order = turned ? [A4[0]!, A4[3]!, A4[2]!, A4[1]!] : A4;
        const corners = shot(order, seen) as unknown as Corners;
        const [widthCm, heightCm] = turned ? [21, 29.7] : [29.7, 21];
        const homography = value(rectangleHomography(corners, widthCm, heightCm));
        const back = toPlane(homography, [...corners, ...shot(hand, seen)])!.slice(4);
        back.forEach((point, k) => {
          expect(turned ? point.y : point.x).toBeCloseTo(hand[k]!.x, 6);
          expect(turned ? point.x : point.y).toBeCloseTo(hand[k]!.y, 6);
        });
        const scale: PhotoScale = { kind: 'rectangle', corners, widthCm, heightCm, sideUCm: 0, clickUPx: 0 };
        const traced = value(tracedArea(shot(hand, seen), scale));
        expect(traced.cm2).toBeCloseTo(truth, 6);
        expect(traced.scaleUCm2).toBeLessThan(1e-9);
      }),
      { numRuns: 100 },
    );
  });

  test('its clicks and sides give the uncertainty that re-clicking shows', () => {
    const seen = { tilt: 0.5, turn: 0.3 };
    const corners = shot(A4, seen) as unknown as Corners;
    const outline = shot(hand, seen);
    const rectangle = (moved: Corners, clickUPx: number, sideUCm: number): PhotoScale => ({
      kind: 'rectangle',
      corners: moved,
      widthCm: 29.7,
      heightCm: 21,
      sideUCm,
      clickUPx,
    });
    const { scaleUCm2 } = value(tracedArea(outline, rectangle(corners, 3, 0)));
    // Monte Carlo with a small fixed generator (JCGM 101).
    let state = 11;
    const uniform = () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
    const shift = () => 3 * Math.sqrt(12) * (uniform() - 0.5);
    const areas = Array.from({ length: 2000 }, () => {
      const moved = corners.map(({ x, y }) => ({ x: x + shift(), y: y + shift() })) as unknown as Corners;
      return value(tracedArea(outline, rectangle(moved, 0, 0))).cm2;
    });
    const centre = areas.reduce((sum, area) => sum + area, 0) / areas.length;
    const sd = Math.sqrt(areas.reduce((sum, area) => sum + (area - centre) ** 2, 0) / areas.length);
    expect(scaleUCm2 / sd).toBeGreaterThan(0.93);
    expect(scaleUCm2 / sd).toBeLessThan(1.07);
    // Both sides known to 1 mm: relative parts add in squares.
    const sides = value(tracedArea(outline, rectangle(corners, 0, 0.1))).scaleUCm2;
    expect(sides).toBeCloseTo(truth * Math.hypot(0.1 / 29.7, 0.1 / 21), 6);
  });

  test('is refused where its corners are out of order, in one line, or a side is not above 0', () => {
    const crossed = xy([0, 0], [10, 10], [10, 0], [0, 10]) as unknown as Corners;
    const line = xy([0, 0], [1, 1], [2, 2], [3, 3]) as unknown as Corners;
    const square = xy([0, 0], [10, 0], [10, 10], [0, 10]) as unknown as Corners;
    expect(code(rectangleHomography(crossed, 1, 1))).toBe('rectangle_unusable');
    expect(code(rectangleHomography(line, 1, 1))).toBe('rectangle_unusable');
    expect(code(rectangleHomography(square, 0, 1))).toBe('rectangle_unusable');
    expect(code(rectangleHomography(square, 1, 1))).toBeNull();
  });

  test('an outline beyond the horizon of its plane is refused', () => {
    const corners = xy([400, 600], [600, 600], [800, 1000], [200, 1000]) as unknown as Corners;
    const scale: PhotoScale = {
      kind: 'rectangle',
      corners,
      widthCm: 20,
      heightCm: 20,
      sideUCm: 0,
      clickUPx: 0,
    };
    expect(code(tracedArea(xy([450, 100], [550, 100], [500, 900]), scale))).toBe('outline_beyond_horizon');
  });
});
