/** The swim itself: when every arm does what, and where the body is. All times on the true trace clock, in s. */
import type { Trial } from './plan.ts';
import { randomFor } from './random.ts';
import {
  HANDS,
  RUN_M,
  SECTION_FROM_WALL_M,
  SWIMMERS,
  type EntryPosition,
  type Hand,
  type Swimmer,
} from './scenario.ts';

export const EVENTS = [
  'water_entry',
  'full_reach',
  'hand_below_shoulder',
  'propulsion_start',
  'shoulder_plane',
  'propulsion_end',
  'water_exit',
] as const;
export type EventName = (typeof EVENTS)[number];

export type Stroke = {
  hand: Hand;
  stroke: number;
  entry: EntryPosition;
  breath: 'none' | Hand;
  /** Hit the lane rope: a weak push. */
  hindered: boolean;
  strength: number;
  at: Record<EventName, number>;
};

export type Swim = {
  trial: Trial;
  swimmer: Swimmer;
  goS: number;
  sectionStartS: number;
  sectionEndS: number;
  endS: number;
  lampS: readonly number[];
  strokes: Record<Hand, Stroke[]>;
  /** Distance of the shoulders from the finishing wall, in m. */
  shoulderFromWallM: (t: number) => number;
};

/** Metres from the shoulder to the fingertips of a stretched arm, and to the front of the head. */
export const REACH_M = 0.72;
const HEAD_LEAD_M = 0.28;
const GO_S = 1;
const BUILD_UP_S = 0.35;
const ENTRY_S = 0.09;
const EXIT_LAG_S = 0.038;

function swimmerOf(trial: Trial): Swimmer {
  const found = SWIMMERS.find((s) => s.participant === trial.participant);
  if (!found) throw new Error(`no swimmer ${trial.participant}`);
  return found;
}

function travelled(speed: number, sinceGo: number): number {
  return speed * (sinceGo - BUILD_UP_S * (1 - Math.exp(-sinceGo / BUILD_UP_S)));
}

function timeToTravel(speed: number, distance: number): number {
  let t = distance / speed;
  for (let i = 0; i < 50; i++) t += (distance - travelled(speed, t)) / speed;
  return t;
}

function entryOfStroke(usual: EntryPosition, draw: number): EntryPosition {
  if (draw > 0.9) return usual === 'level' ? 'below' : 'level';
  return usual === 'level' && draw < 0.06 ? 'above' : usual;
}

export function swimOf(trial: Trial): Swim {
  const swimmer = swimmerOf(trial);
  const random = randomFor(`swim ${trial.trial}`);
  const speed = swimmer.speedMS * trial.speedFactor;
  const headAt = (fromWallM: number): number => GO_S + timeToTravel(speed, RUN_M - fromWallM);
  const sectionStartS = headAt(SECTION_FROM_WALL_M[0]);
  const sectionEndS = headAt(SECTION_FROM_WALL_M[1]);
  const startFromWallM = RUN_M + HEAD_LEAD_M;
  const shoulderFromWallM = (t: number): number =>
    t <= GO_S ? startFromWallM : Math.max(REACH_M, startFromWallM - travelled(speed, t - GO_S));

  const cycleS = swimmer.cycleS / Math.sqrt(trial.speedFactor);
  const lastStartS = sectionEndS + swimmer.glideS;
  const skewS = (swimmer.idcSkewPct / 100) * cycleS;
  const strokes = {} as Record<Hand, Stroke[]>;
  for (const hand of HANDS) {
    const isLast = hand === trial.lastHand;
    const otherSideS = hand === 'right' ? -cycleS / 2 + skewS : -cycleS / 2 - skewS;
    const anchorS = isLast ? lastStartS : lastStartS + otherSideS;
    const backwards: Stroke[] = [];
    for (let k = 0; ; k++) {
      const pushStart = anchorS - k * cycleS + random.normal(0, 0.007);
      const entry = entryOfStroke(swimmer.entry, random.uniform());
      const push = cycleS * (0.5 + swimmer.idcPct / 100) + random.normal(0, 0.007);
      const complete = pushStart - swimmer.glideS + random.normal(0, 0.006);
      const highHand = swimmer.highHandS[entry];
      const at: Record<EventName, number> = {
        water_entry: complete - ENTRY_S + random.normal(0, 0.005),
        full_reach: complete,
        hand_below_shoulder: complete + (highHand === 0 ? 0 : Math.max(0.03, random.normal(highHand, 0.014))),
        propulsion_start: pushStart,
        shoulder_plane: pushStart + push * random.normal(0.52, 0.012),
        propulsion_end: pushStart + push,
        water_exit: pushStart + push + EXIT_LAG_S + random.normal(0, 0.004),
      };
      if (at.water_entry < GO_S + 0.15) break;
      backwards.push({
        hand,
        stroke: 0,
        entry,
        breath: 'none',
        hindered: false,
        strength: random.normal(1, 0.05),
        at,
      });
    }
    strokes[hand] = backwards.reverse().map((stroke, i) => ({
      ...stroke,
      stroke: i + 1,
      breath: hand === swimmer.breath && i > 0 && i % 3 === 1 ? hand : 'none',
    }));
  }

  const swim: Swim = {
    trial,
    swimmer,
    goS: GO_S,
    sectionStartS,
    sectionEndS,
    endS: Math.ceil((sectionEndS + 1.1) * 50) / 50,
    lampS: [0.5, sectionStartS - 1.1, sectionStartS + 2.3, sectionEndS + 0.35],
    strokes,
    shoulderFromWallM,
  };
  if (trial.laneRope) {
    const hit = countedStrokes(swim, trial.laneRope.hand)[trial.laneRope.strokeInSection - 1];
    if (hit) {
      hit.hindered = true;
      hit.strength *= 0.35;
    }
  }
  return swim;
}

/** Strokes whose propulsion lies wholly in the section, whether or not a rater excludes them. */
export function countedStrokes(swim: Swim, hand: Hand): Stroke[] {
  return swim.strokes[hand].filter(
    (s) => s.at.propulsion_start >= swim.sectionStartS && s.at.propulsion_end <= swim.sectionEndS,
  );
}
