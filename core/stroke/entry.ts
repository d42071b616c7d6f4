/**
 * How far the hand lies above or below the shoulder at full reach, from points placed on one frame: tilt from
 * the water line, scale from a known length, vertical distance with its standard uncertainty (JCGM 100:2008, 5.1.2) and
 * the class above, level or below (common practice, no source). The scale holds in the plane of the known length only:
 * hand and shoulder must lie in it, and the lens must not bend straight lines.
 */
import type { EntryPosition } from './stroke.ts';
import { type Outcome, failed, done } from '../base/refusal.ts';
import { rootSumSquares } from '../base/uncertainty.ts';
import { effectiveCoverageFactor } from '../base/statistics.ts';

/** A point of the picture, px from its upper left corner: x to the right, y down. */
export interface PicturePoint {
  readonly x: number;
  readonly y: number;
}

export interface EntryPoints {
  readonly hand: PicturePoint;
  readonly shoulder: PicturePoint;
  /** Two points of the water line. */
  readonly water: readonly [PicturePoint, PicturePoint];
  /** The ends of a known length in the swimmer's plane. */
  readonly length: readonly [PicturePoint, PicturePoint];
}

export interface EntryMeasures {
  /** The known length and its standard uncertainty, cm. */
  readonly lengthCm: number;
  readonly lengthUCm: number;
  /** Standard uncertainty of placing one point, px, the same along x and y. */
  readonly clickUPx: number;
  /** Half the width of what counts as level, cm. */
  readonly levelBandCm: number;
}

export interface EntryDistance {
  /** Hand above the shoulder, along the vertical of the water line, cm; negative where it is below. */
  readonly cm: number;
  /** Standard uncertainty, cm: from the points and the known length alone. */
  readonly uCm: number;
  /** Expanded uncertainty at 95 %, cm. */
  readonly expandedUCm: number;
  /** Water line against the picture's horizontal, degrees, positive clockwise. */
  readonly tiltDeg: number;
  readonly cmPerPx: number;
  /** `undecided` where an edge of the level band lies within the expanded uncertainty. */
  readonly position: EntryPosition | 'undecided';
  /** One sentence: distance, uncertainty and class. */
  readonly says: string;
}

export interface EntryFault {
  readonly code: 'bad_measure' | 'water_line_short' | 'water_line_steep' | 'length_short';
  readonly says: string;
  readonly todo: string;
}

/** Beyond this tilt it is not known which side of the water line is up, degrees. */
const STEEPEST_DEG = 45;

/** Points closer than this are one point, px. */
const SAME_POINT_PX = 1;

const COVERAGE = 0.95;

/**
 * Vertical distance of the hand from the shoulder, and its class.
 * Fails where a measure makes no sense or points lie so that tilt or scale cannot be had.
 */
export function entryDistance(
  points: EntryPoints,
  measures: EntryMeasures,
): Outcome<EntryDistance, EntryFault> {
  const { lengthCm, lengthUCm, clickUPx, levelBandCm } = measures;
  if (!(lengthCm > 0 && lengthUCm >= 0 && clickUPx >= 0 && levelBandCm >= 0))
    return failed({
      code: 'bad_measure',
      says: 'The known length must be above 0 cm; its uncertainty, that of a point and the level band must not be below 0.',
      todo: 'Correct the entry.',
    });
  const [water, length] = [between(points.water), between(points.length)];
  const [waterPx, lengthPx] = [Math.hypot(water.x, water.y), Math.hypot(length.x, length.y)];
  if (waterPx < SAME_POINT_PX)
    return failed({
      code: 'water_line_short',
      says: 'Both points of the water line lie at the same place, so there is no tilt.',
      todo: 'Place them far apart, best at both edges of the picture.',
    });
  if (lengthPx < SAME_POINT_PX)
    return failed({
      code: 'length_short',
      says: 'Both ends of the known length lie at the same place, so there is no scale.',
      todo: 'Place them at the ends of a known length beside the swimmer.',
    });
  const right = water.x < 0 ? -1 : 1;
  const along = { x: (right * water.x) / waterPx, y: (right * water.y) / waterPx };
  const tiltDeg = (Math.atan2(along.y, along.x) * 180) / Math.PI;
  if (Math.abs(tiltDeg) > STEEPEST_DEG)
    return failed({
      code: 'water_line_steep',
      says: `The water line stands at ${tiltDeg.toFixed(0)}° in the picture, so it is not known which side is up.`,
      todo: 'Turn the film upright, or place the two points on the water line again.',
    });
  const arm = between([points.shoulder, points.hand]);
  const upPx = along.y * arm.x - along.x * arm.y;
  const alongPx = along.x * arm.x + along.y * arm.y;
  const cmPerPx = lengthCm / lengthPx;
  const cm = upPx * cmPerPx;
  // Every difference of two points carries √2 of one point's uncertainty.
  const pairUPx = Math.SQRT2 * clickUPx;
  const uCm = rootSumSquares([
    pairUPx * cmPerPx,
    (alongPx * cmPerPx * pairUPx) / waterPx,
    (cm * pairUPx) / lengthPx,
    (cm * lengthUCm) / lengthCm,
  ])!;
  const expandedUCm = effectiveCoverageFactor(COVERAGE, Infinity) * uCm;
  const position = classOf(cm, expandedUCm, levelBandCm);
  const says = sentence(cm, expandedUCm, levelBandCm, position);
  return done({ cm, uCm, expandedUCm, tiltDeg, cmPerPx, position, says });
}

function between([from, to]: readonly [PicturePoint, PicturePoint]): PicturePoint {
  return { x: to.x - from.x, y: to.y - from.y };
}

function classOf(cm: number, expandedUCm: number, bandCm: number): EntryDistance['position'] {
  if (Math.abs(Math.abs(cm) - bandCm) <= expandedUCm) return 'undecided';
  if (Math.abs(cm) < bandCm) return 'level';
  return cm > 0 ? 'above' : 'below';
}

const CLASS_WORDS = {
  above: 'it enters above the shoulder',
  level: 'it enters level with the shoulder',
  below: 'it enters below the shoulder',
} as const;

function sentence(
  cm: number,
  expandedUCm: number,
  bandCm: number,
  position: EntryDistance['position'],
): string {
  const side = cm < 0 ? 'below' : 'above';
  const where = `The hand lies ${Math.abs(cm).toFixed(1)} cm ± ${expandedUCm.toFixed(1)} cm (95 %) ${side} the shoulder`;
  if (position !== 'undecided') return `${where}: ${CLASS_WORDS[position]}.`;
  return `${where}: undecided, because the edge of the level band (± ${bandCm} cm) lies within the uncertainty. Judge by eye, or place the points again on a larger picture.`;
}
