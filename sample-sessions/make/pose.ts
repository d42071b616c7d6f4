/** Where the fingertips, elbow and legs are at a moment. Metres from the shoulder, x forward and y down. */
import type { Hand } from './scenario.ts';
import { REACH_M, type Stroke, type Swim } from './swim.ts';
import type { Point } from './raster.ts';

/** The shoulder swims this far below the surface. */
export const SHOULDER_DEPTH_M = 0.12;

type Key = [t: number, value: number];

/** Monotone cubic through the keys (Fritsch and Carlson 1980): it turns only at keys, so events stay where they are. */
function monotone(keys: readonly Key[]): (t: number) => number {
  const n = keys.length;
  const at = (i: number): Key => keys[i] ?? [0, 0];
  const slope = (i: number): number => (at(i + 1)[1] - at(i)[1]) / (at(i + 1)[0] - at(i)[0]);
  const tangents = keys.map((_, i) => {
    if (i === 0 || i === n - 1) return 0;
    const before = slope(i - 1);
    const after = slope(i);
    return before * after <= 0 ? 0 : (2 * before * after) / (before + after);
  });
  return (t) => {
    if (t <= at(0)[0]) return at(0)[1];
    if (t >= at(n - 1)[0]) return at(n - 1)[1];
    let i = 0;
    while (at(i + 1)[0] < t) i++;
    const h = at(i + 1)[0] - at(i)[0];
    const u = (t - at(i)[0]) / h;
    const a = at(i)[1] + u * u * (3 - 2 * u) * (at(i + 1)[1] - at(i)[1]);
    return a + h * u * (1 - u) * ((1 - u) * (tangents[i] ?? 0) - u * (tangents[i + 1] ?? 0));
  };
}

const COMPLETE_DEPTH = { above: -0.055, level: -0.012, below: 0.05 };
const REST: Point = { x: -0.6, y: 0.08 };

export type ArmPose = { tip: Point; elbow: Point; wrist: Point };

function strokeKeys(stroke: Stroke): { x: Key[]; y: Key[] } {
  const e = stroke.at;
  const x: Key[] = [
    [e.water_entry, 0.52],
    [e.full_reach, REACH_M],
  ];
  const y: Key[] = [
    [e.water_entry, -SHOULDER_DEPTH_M],
    [e.full_reach, COMPLETE_DEPTH[stroke.entry]],
  ];
  x.push(
    [e.propulsion_start, REACH_M - 0.012],
    [e.shoulder_plane, 0],
    [e.propulsion_end, -0.6],
    [e.water_exit, -0.615],
  );
  if (stroke.entry !== 'below') y.push([e.hand_below_shoulder, 0]);
  y.push([e.shoulder_plane, 0.6], [e.propulsion_end, 0.1], [e.water_exit, -SHOULDER_DEPTH_M]);
  return { x, y };
}

/** The arm's pose as a function of time, through every event of its strokes. */
export function armOf(swim: Swim, hand: Hand): (t: number) => ArmPose {
  const x: Key[] = [[0, REST.x]];
  const y: Key[] = [[0, REST.y]];
  const bend: Key[] = [[0, 0]];
  let exit = Math.max(0.1, (swim.strokes[hand][0]?.at.water_entry ?? 0) - 0.34);
  x.push([exit, REST.x]);
  y.push([exit, REST.y]);
  for (const stroke of swim.strokes[hand]) {
    const middle = (exit + stroke.at.water_entry) / 2;
    x.push([middle, -0.02]);
    y.push([middle, -0.62]);
    bend.push([exit, 0], [middle, -0.05], [stroke.at.water_entry, 0]);
    const keys = strokeKeys(stroke);
    x.push(...keys.x);
    y.push(...keys.y);
    const e = stroke.at;
    bend.push([e.propulsion_start, 0.01], [e.shoulder_plane, 0.17], [e.propulsion_end, 0.02]);
    exit = e.water_exit;
  }
  // The film ends before the next stroke: the arm is on its way back to the water.
  x.push([exit + 0.25, -0.02], [exit + 0.5, 0.52]);
  y.push([exit + 0.25, -0.62], [exit + 0.5, -SHOULDER_DEPTH_M]);
  const tipX = monotone(x);
  const tipY = monotone(y);
  const bent = monotone(bend);
  return (t) => {
    const tip = { x: tipX(t), y: tipY(t) };
    const length = Math.hypot(tip.x, tip.y);
    const aside = { x: tip.y / length, y: -tip.x / length };
    const elbow = { x: tip.x * 0.44 + aside.x * bent(t), y: tip.y * 0.44 + aside.y * bent(t) };
    const wrist = { x: elbow.x + (tip.x - elbow.x) * 0.6, y: elbow.y + (tip.y - elbow.y) * 0.6 };
    return { tip, elbow, wrist };
  };
}

/** Ankle and knee of one leg of a six-beat kick that starts with the swim. */
export function legOf(swim: Swim, side: Hand, t: number): { hip: Point; knee: Point; toe: Point } {
  const moving = Math.min(1, Math.max(0, (t - swim.goS) / 0.4));
  const phase = ((t - swim.goS) / swim.swimmer.cycleS) * 6 * Math.PI + (side === 'left' ? 0 : Math.PI);
  const hip = { x: -0.52, y: 0.03 };
  const knee = { x: -0.92, y: 0.06 + 0.07 * moving * Math.sin(phase) };
  const toe = { x: -1.42, y: 0.05 + 0.17 * moving * Math.sin(phase - 0.9) };
  return { hip, knee, toe };
}

/** Whether the face is turned to the air: while the arm of the breathing side recovers. */
export function breathes(swim: Swim, t: number): boolean {
  return Object.values(swim.strokes).some((strokes) =>
    strokes.some(
      (s) => s.breath !== 'none' && t > s.at.propulsion_end - 0.12 && t < s.at.propulsion_end + 0.3,
    ),
  );
}
