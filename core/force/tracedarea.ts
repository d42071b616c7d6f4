/**
 * Hand area traced on a photograph: shoelace formula (Meister 1769, from memory) on an outline in pixels; the scale from
 * two points of known distance, or from a rectangle of known size, which also takes out perspective by a plane
 * projective transform (Hartley & Zisserman, Multiple View Geometry, 2nd ed., 4.1). Either holds in the plane of the
 * reference only: a hand above or behind that plane is drawn too large or too small, by about twice its distance from
 * the plane over the camera's distance.
 */
import {
  type Point,
  type Corners,
  outlineArea,
  rectangleHomography,
  toPlane,
  polygonArea,
  perimeter,
} from './outline.ts';
import { type AreaFault, type HandArea, noRepeat } from './handarea.ts';
import { type Outcome, failed, done } from '../base/refusal.ts';
import { type BudgetInput, propagate } from '../sensor/budget.ts';
import { mean, standardDeviation } from '../base/statistics.ts';
import { figures } from '../base/words.ts';

/** What gives a photograph its scale. Uncertainties are standard; `clickUPx` is that of one coordinate of a click. */
export type PhotoScale =
  | {
      readonly kind: 'two_points';
      readonly points: readonly [Point, Point];
      readonly distanceCm: number;
      readonly distanceUCm: number;
      readonly clickUPx: number;
    }
  | {
      readonly kind: 'rectangle';
      /** In order around the rectangle; the first side has the width. */
      readonly corners: Corners;
      readonly widthCm: number;
      readonly heightCm: number;
      /** Of each side. */
      readonly sideUCm: number;
      readonly clickUPx: number;
    };

/** How a hand lay and was drawn, as far as it is known; all cm. */
export interface Drawn {
  /** The outline lies anywhere from the reference's plane to so far above it, toward the camera. */
  readonly riseCm: number;
  /** From the camera to the plane. */
  readonly cameraCm: number;
  /** All outlines may have been drawn so far inside or outside the hand's edge alike. */
  readonly offsetCm: number;
}

/**
 * What a tracing begins with (common practice, no source): the edge of a hand laid flat is up to 15 mm above the sheet,
 * photographed at arm's length, and drawn within half a millimetre of its edge.
 */
export const DRAWN_USUALLY: Drawn = { riseCm: 1.5, cameraCm: 60, offsetCm: 0.05 };

/**
 * Area of one tracing, cm², and its standard uncertainty from the scale alone, by numerical propagation from the
 * clicks and the known lengths (JCGM 100 5.1.3).
 */
export function tracedArea(
  outline: readonly Point[],
  scale: PhotoScale,
): Outcome<{ readonly cm2: number; readonly scaleUCm2: number }, AreaFault> {
  const pixels = outlineArea(outline);
  if (!pixels.ok) return pixels;
  return scale.kind === 'two_points' ? byDistance(pixels.value, scale) : byRectangle(outline, scale);
}

function input(name: string, value: number, u: number): BudgetInput {
  return { name, value, u, degreesOfFreedom: Infinity };
}

function clicks(points: readonly Point[], u: number): BudgetInput[] {
  return points.flatMap(({ x, y }, k) => [input(`x${k}`, x, u), input(`y${k}`, y, u)]);
}

function byDistance(pixels: number, scale: Extract<PhotoScale, { kind: 'two_points' }>) {
  const [first, second] = scale.points;
  if (!(scale.distanceCm > 0) || Math.hypot(first.x - second.x, first.y - second.y) === 0)
    return failed<AreaFault>({
      code: 'no_scale',
      says: 'The two points of the scale coincide, or their distance is not above 0 cm.',
      todo: 'Click two points far apart, such as the ends of a ruler, and give their distance in cm.',
    });
  const inputs = [
    input('distance', scale.distanceCm, scale.distanceUCm),
    ...clicks(scale.points, scale.clickUPx),
  ];
  const evaluate = ([d, ax, ay, bx, by]: readonly number[]) =>
    (pixels * d! * d!) / ((ax! - bx!) ** 2 + (ay! - by!) ** 2);
  const { value, u } = propagate({ evaluate }, inputs);
  return done({ cm2: value, scaleUCm2: u });
}

function byRectangle(outline: readonly Point[], scale: Extract<PhotoScale, { kind: 'rectangle' }>) {
  const areaFor = (corners: Corners, widthCm: number, heightCm: number): Outcome<number, AreaFault> => {
    const homography = rectangleHomography(corners, widthCm, heightCm);
    if (!homography.ok) return homography;
    const all = toPlane(homography.value, [...corners, ...outline]);
    if (all === null)
      return failed({
        code: 'outline_beyond_horizon',
        says: 'Part of the outline lies beyond the horizon of the rectangle’s plane.',
        todo: 'Photograph the hand on the rectangle’s plane, from more nearly above, and trace it again.',
      });
    return done(polygonArea(all.slice(4)));
  };
  const area = areaFor(scale.corners, scale.widthCm, scale.heightCm);
  if (!area.ok) return area;
  const inputs = [
    input('width', scale.widthCm, scale.sideUCm),
    input('height', scale.heightCm, scale.sideUCm),
    ...clicks(scale.corners, scale.clickUPx),
  ];
  const evaluate = ([width, height, ...xy]: readonly number[]) => {
    const corners = scale.corners.map((_, k) => ({ x: xy[2 * k]!, y: xy[2 * k + 1]! }));
    const moved = areaFor(corners as unknown as Corners, width!, height!);
    return moved.ok ? moved.value : NaN;
  };
  const { u } = propagate({ evaluate }, inputs);
  if (Number.isFinite(u)) return done({ cm2: area.value, scaleUCm2: u });
  return failed<AreaFault>({
    code: 'rectangle_unusable',
    says: 'The rectangle is so small or so oblique in the photograph that the clicks do not fix it.',
    todo: 'Photograph it larger and from more nearly above.',
  });
}

/** Length of an outline in the plane of the reference, cm; null where part of it lies beyond that plane's horizon. */
function outlineLengthCm(outline: readonly Point[], scale: PhotoScale): number | null {
  if (scale.kind === 'two_points') {
    const [first, second] = scale.points;
    const pixels = Math.hypot(first.x - second.x, first.y - second.y);
    return (perimeter(outline) * scale.distanceCm) / pixels;
  }
  const homography = rectangleHomography(scale.corners, scale.widthCm, scale.heightCm);
  const plane = homography.ok ? toPlane(homography.value, outline) : null;
  return plane === null ? null : perimeter(plane);
}

/** Standard uncertainty of a length anywhere within a half-width: rectangular (JCGM 100 4.3.7). */
function withinU(halfWidth: number): number {
  return halfWidth / Math.sqrt(3);
}

/**
 * Hand area from repeated tracings of one photograph: the mean; SD/√n of the tracings; the scale, shared by all of
 * them, does not average away. Nor does what they share otherwise: a hand above the sheet is drawn too large by
 * (D/(D − h))² at a height h and the camera's distance D, which is taken out for the middle of the heights that are
 * possible, and an outline drawn a little outside the edge adds its length times that.
 * The uncertainty is null with one tracing, for how well the outline repeats is then not known.
 */
export function areaFromTracings(
  tracings: readonly (readonly Point[])[],
  scale: PhotoScale,
  drawn: Drawn = DRAWN_USUALLY,
): Outcome<HandArea, AreaFault> {
  const { riseCm, cameraCm, offsetCm } = drawn;
  if (!(riseCm >= 0 && offsetCm >= 0 && cameraCm > riseCm))
    return failed({
      code: 'no_scale',
      says: 'The height above the sheet must not be below 0 and not reach the camera.',
      todo: 'Give the height of the hand’s edge above the sheet in mm, and the camera’s distance in cm.',
    });
  const areas: { readonly cm2: number; readonly scaleUCm2: number }[] = [];
  for (const outline of tracings) {
    const area = tracedArea(outline, scale);
    if (!area.ok) return area;
    areas.push(area.value);
  }
  const seen = mean(areas.map((area) => area.cm2));
  const scaleU = mean(areas.map((area) => area.scaleUCm2));
  if (seen === null || scaleU === null) return noRepeat();
  const middleCm = riseCm / 2;
  const nearer = (1 - middleCm / cameraCm) ** 2;
  const cm2 = seen * nearer;
  const scaleUCm2 = scaleU * nearer;
  const planeUCm2 = (2 * cm2 * withinU(middleCm)) / (cameraCm - middleCm);
  const lengths = tracings.flatMap((outline) => outlineLengthCm(outline, scale) ?? []);
  const offsetUCm2 = mean(lengths)! * Math.sqrt(nearer) * withinU(offsetCm);
  const repeats = standardDeviation(areas.map((area) => area.cm2 * nearer));
  const repeatUCm2 = repeats === null ? null : repeats / Math.sqrt(areas.length);
  const plane =
    scale.kind === 'rectangle'
      ? 'The rectangle corrects perspective in its own plane only'
      : 'Two points give the scale in one plane and do not correct perspective';
  const says =
    repeatUCm2 === null
      ? `${plane}; trace the outline again, for one tracing does not show how well it repeats.`
      : `${plane}; the outline is taken to lie 0 to ${figures(10 * riseCm)} mm above it at ${figures(cameraCm)} cm from the camera, which takes ${figures(100 * (1 - nearer), 2)} % off. Left out: that closed fingers under water enclose another area, and the view from aside.`;
  const uCm2 = repeatUCm2 === null ? null : Math.hypot(scaleUCm2, repeatUCm2, planeUCm2, offsetUCm2);
  const parts = { scaleUCm2, repeatUCm2, planeUCm2, offsetUCm2 };
  return done({ method: 'traced', cm2, uCm2, ...parts, count: areas.length, says });
}
