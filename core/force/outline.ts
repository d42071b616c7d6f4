/**
 * Plane geometry of a traced outline: its area by the shoelace formula (Meister 1769, from memory), and the plane
 * projective transform that a photographed rectangle of known size gives (Hartley & Zisserman, Multiple View Geometry,
 * 2nd ed., 4.1).
 */
import { type Outcome, failed, done } from '../base/refusal.ts';

/** A point of a photograph, px, or of the reference's plane, cm. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** Why an outline or a rectangle cannot be used. */
export interface OutlineFault {
  readonly code: 'too_few_points' | 'outline_crosses' | 'rectangle_unusable';
  readonly says: string;
  readonly todo: string;
}

/** Corners in order around a rectangle. */
export type Corners = readonly [Point, Point, Point, Point];

/**
 * Area inside an outline by the shoelace formula, in the square of the points' unit; the sense of rotation, the
 * starting point and a repeated closing point do not matter. O(n²) for the crossing test.
 * Returns why there is none below three different points, for points in one line, or where the outline crosses itself.
 */
export function outlineArea(outline: readonly Point[]): Outcome<number, OutlineFault> {
  const points = outline.filter((point, k) => {
    const before = outline.at(k - 1)!;
    return outline.length === 1 || point.x !== before.x || point.y !== before.y;
  });
  const twice = points.length < 3 ? 0 : twiceArea(points);
  const crossing = points.length < 4 ? null : crossingOf(points);
  if (crossing !== null)
    return failed({
      code: 'outline_crosses',
      says: `The outline crosses itself: side ${crossing[0] + 1} meets side ${crossing[1] + 1}.`,
      todo: 'Take back the last points, or move one of them so that the outline goes round the hand once.',
    });
  if (twice === 0)
    return failed({
      code: 'too_few_points',
      says: 'The outline encloses no area; it needs at least three points that do not lie in one line.',
      todo: 'Go on around the hand, fingers included, back to the first point.',
    });
  return done(polygonArea(points));
}

/** Area of a polygon that does not cross itself, in the square of the points' unit. */
export function polygonArea(points: readonly Point[]): number {
  return Math.abs(twiceArea(points)) / 2;
}

/** Length of the way round a polygon, in its points' unit. */
export function perimeter(points: readonly Point[]): number {
  return points.reduce((sum, { x, y }, k) => {
    const next = points[(k + 1) % points.length]!;
    return sum + Math.hypot(next.x - x, next.y - y);
  }, 0);
}

/** Twice the signed area; taken about the first point so that large coordinates cost no digits. */
function twiceArea(points: readonly Point[]): number {
  const origin = points[0]!;
  return points.reduce((sum, point, k) => {
    const next = points[(k + 1) % points.length]!;
    return sum + cross(origin, point, next);
  }, 0);
}

/** z of (a − o) × (b − o). */
function cross(o: Point, a: Point, b: Point): number {
  return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);
}

function crossingOf(points: readonly Point[]): [number, number] | null {
  const n = points.length;
  for (let i = 0; i < n; i++)
    for (let j = i + 1; j < n; j++) {
      const adjacent = j === i + 1 || (i === 0 && j === n - 1);
      const [a, b, c, d] = [points[i]!, points[(i + 1) % n]!, points[j]!, points[(j + 1) % n]!];
      if (adjacent ? foldsBack(j === i + 1 ? [a, b, d] : [c, a, b]) : meet(a, b, c, d)) return [i, j];
    }
  return null;
}

/** True where two sides that share the middle point lie upon each other. */
function foldsBack([from, at, to]: readonly [Point, Point, Point]): boolean {
  return cross(at, from, to) === 0 && (from.x - at.x) * (to.x - at.x) + (from.y - at.y) * (to.y - at.y) > 0;
}

/** True where the closed segments ab and cd have a point in common. */
function meet(a: Point, b: Point, c: Point, d: Point): boolean {
  const [abc, abd] = [Math.sign(cross(a, b, c)), Math.sign(cross(a, b, d))];
  const [cda, cdb] = [Math.sign(cross(c, d, a)), Math.sign(cross(c, d, b))];
  if (abc * abd < 0 && cda * cdb < 0) return true;
  const on = (side: number, p: Point, q: Point, r: Point) =>
    side === 0 &&
    Math.min(p.x, q.x) <= r.x &&
    r.x <= Math.max(p.x, q.x) &&
    Math.min(p.y, q.y) <= r.y &&
    r.y <= Math.max(p.y, q.y);
  return on(abc, a, b, c) || on(abd, a, b, d) || on(cda, c, d, a) || on(cdb, c, d, b);
}

/** Nine numbers, row by row, of a plane projective transform from px to cm; the last is 1. */
export type Homography = readonly number[];

/**
 * The transform that takes the corners of a photographed rectangle to (0, 0), (width, 0), (width, height) and
 * (0, height), cm. It holds in the rectangle's plane only.
 * Returns why there is none where the corners do not go round a convex four-sided figure, or a side is not above 0.
 */
export function rectangleHomography(
  corners: Corners,
  widthCm: number,
  heightCm: number,
): Outcome<Homography, OutlineFault> {
  const turns = corners.map((corner, k) =>
    Math.sign(cross(corner, corners[(k + 1) % 4]!, corners[(k + 2) % 4]!)),
  );
  const convex = turns[0] !== 0 && turns.every((turn) => turn === turns[0]);
  const unusable = failed<OutlineFault>({
    code: 'rectangle_unusable',
    says: 'The four corners do not go round a rectangle of the given sides.',
    todo: 'Click the corners one after the other around the rectangle, the side of the given width first, and give both sides in cm.',
  });
  if (!convex || !(widthCm > 0) || !(heightCm > 0)) return unusable;
  const targets = [
    { x: 0, y: 0 },
    { x: widthCm, y: 0 },
    { x: widthCm, y: heightCm },
    { x: 0, y: heightCm },
  ];
  const rows = corners.flatMap(({ x, y }, k) => {
    const { x: u, y: v } = targets[k]!;
    return [
      [x, y, 1, 0, 0, 0, -u * x, -u * y, u],
      [0, 0, 0, x, y, 1, -v * x, -v * y, v],
    ];
  });
  const solution = solveLinear(rows);
  return solution === null ? unusable : done([...solution, 1]);
}

/** Solves a square system given as rows with the right side last, by elimination with row exchange; null if singular. */
function solveLinear(rows: readonly (readonly number[])[]): number[] | null {
  const matrix = rows.map((row) => [...row]);
  const n = matrix.length;
  for (let k = 0; k < n; k++) {
    let pivot = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(matrix[i]![k]!) > Math.abs(matrix[pivot]![k]!)) pivot = i;
    [matrix[k], matrix[pivot]] = [matrix[pivot]!, matrix[k]!];
    const row = matrix[k]!;
    if (row[k] === 0) return null;
    for (let i = 0; i < n; i++) {
      if (i === k) continue;
      const factor = matrix[i]![k]! / row[k]!;
      for (let j = k; j <= n; j++) matrix[i]![j]! -= factor * row[j]!;
    }
  }
  return matrix.map((row, k) => row[n]! / row[k]!);
}

/**
 * Points of a photograph, px, brought to the rectangle's plane, cm. Give a corner of the rectangle first: the others
 * must lie on its side of the plane's horizon.
 * Returns null where a point lies on that horizon or beyond it.
 */
export function toPlane(homography: Homography, points: readonly Point[]): readonly Point[] | null {
  const [a, b, c, d, e, f, g, h, i] = homography as [
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const depths = points.map(({ x, y }) => g * x + h * y + i);
  // On one side of the horizon the depth keeps its sign.
  const side = Math.sign(depths[0] ?? 0);
  if (side === 0 || depths.some((depth) => Math.sign(depth) !== side)) return null;
  return points.map(({ x, y }, k) => ({
    x: (a * x + b * y + c) / depths[k]!,
    y: (d * x + e * y + f) / depths[k]!,
  }));
}
