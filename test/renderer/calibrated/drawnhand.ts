/**
 * A drawn hand of known area beside an A5 sheet, and a camera that photographs both askew. The hand is made of
 * rectangles, so its area is a sum of widths times heights, not the formula under test; the camera is a pinhole that
 * turns and projects points of the plane, not the transform under test.
 */
import type { Point } from '../../../core/force/outline.ts';

/** ISO 216: A5 is 148 mm by 210 mm. Lying with its long side along x. */
export const A5_CM = { width: 21, height: 14.8 } as const;
export const A5_CORNERS: readonly Point[] = [
  { x: 0, y: 0 },
  { x: A5_CM.width, y: 0 },
  { x: A5_CM.width, y: A5_CM.height },
  { x: 0, y: A5_CM.height },
];

const FINGERS_CM = [6, 7, 6.5, 5];
const FINGER_WIDTH_CM = 1.7;
const BETWEEN_CM = 0.4;
/** Palm 8 cm × 10 cm, four fingers 1.7 cm wide, thumb 3 cm × 2 cm: 80 + 1.7 × 24.5 + 6 = 127.65 cm². */
export const HAND_CM2 = 127.65;

/** Outline of the hand beside the sheet, cm, from the wrist round by the fingers and the thumb. */
export function handOutline(): readonly Point[] {
  const [left, wrist] = [26, 20];
  const knuckles = wrist - 10;
  const outline: Point[] = [{ x: left, y: wrist }];
  FINGERS_CM.forEach((length, k) => {
    const x = left + k * (FINGER_WIDTH_CM + BETWEEN_CM);
    outline.push(
      { x, y: knuckles },
      { x, y: knuckles - length },
      { x: x + FINGER_WIDTH_CM, y: knuckles - length },
      { x: x + FINGER_WIDTH_CM, y: knuckles },
    );
  });
  const right = left + 8;
  outline.push(
    { x: right, y: wrist - 6 },
    { x: right + 3, y: wrist - 6 },
    { x: right + 3, y: wrist - 4 },
    { x: right, y: wrist - 4 },
    { x: right, y: wrist },
  );
  // The knuckle of the first finger lies on the palm's side: not a corner.
  return outline.filter((point, k) => k !== 1 || point.x !== left);
}

export const PHOTO_PX = { width: 1200, height: 900 } as const;

/** Photographs a point of the plane, cm, from above and aslant: tilted by 25°, turned by 8°. */
export function photographed({ x, y }: Point): Point {
  const [tilt, turn] = [(25 * Math.PI) / 180, (8 * Math.PI) / 180];
  const [u, v] = [x - 19, y - 11];
  const along = Math.cos(turn) * u - Math.sin(turn) * v;
  const across = Math.sin(turn) * u + Math.cos(turn) * v;
  const distanceCm = 70;
  const depth = distanceCm - across * Math.sin(tilt);
  const focalPx = 1800;
  return {
    x: PHOTO_PX.width / 2 + (focalPx * along) / depth,
    y: PHOTO_PX.height / 2 + (focalPx * across * Math.cos(tilt)) / depth,
  };
}
