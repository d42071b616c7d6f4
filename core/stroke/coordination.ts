/**
 * Index of coordination: how one arm's propulsion follows the other's, % of the stroke cycle.
 * Chollet, Chalies & Chatard 2000, Int J Sports Med 21:54–59; rules for partners: formats.md section 2.
 * Negative: a gap in propulsion; zero: one hand takes over as the other stops; positive: overlap.
 */
import { type Hand, HANDS } from '../base/hand.ts';
import { type Mark, type Stroke, sharedUS, strokesOf } from './stroke.ts';
import type { Measured } from '../base/uncertainty.ts';
import { mean } from '../base/statistics.ts';

/** The hand-over that leads into a stroke: from the partner's propulsion end to this propulsion start. */
export interface HandOver {
  readonly hand: Hand;
  readonly stroke: number;
  readonly partnerStroke: number;
  readonly partnerEnd: Mark;
  readonly start: Mark;
}

/** Floating-point room of two times that are one cycle apart, s. */
const DUST_S = 1e-9;

/**
 * The hand-over into a stroke, by the partner rules; null where it has no partner.
 * @param cycleTimeS the trial's stroke cycle time, s: a partner that starts earlier than one cycle before is none, since
 * the stroke between was not marked
 */
export function handOver(stroke: Stroke, strokes: readonly Stroke[], cycleTimeS: number): HandOver | null {
  const start = stroke.marks.propulsion_start;
  if (start === undefined) return null;
  let partner: Stroke | null = null;
  let partnerStartS = -Infinity;
  for (const other of strokesOf(strokes, stroke.hand === 'left' ? 'right' : 'left')) {
    const timeS = other.marks.propulsion_start?.timeS;
    if (timeS === undefined || timeS >= start.timeS || timeS <= partnerStartS) continue;
    partner = other;
    partnerStartS = timeS;
  }
  const partnerEnd = partner?.marks.propulsion_end;
  if (partner === null || partnerEnd === undefined) return null;
  for (const { marks } of strokesOf(strokes, stroke.hand)) {
    const timeS = marks.propulsion_start?.timeS;
    if (timeS !== undefined && timeS > partnerStartS && timeS < start.timeS) return null;
  }
  if (partnerStartS < start.timeS - cycleTimeS - DUST_S) return null;
  return { hand: stroke.hand, stroke: stroke.number, partnerStroke: partner.number, partnerEnd, start };
}

/** Index of coordination of one hand-over, %. */
export function coordinationPct(over: HandOver, cycleTimeS: number): number {
  return (100 * (over.partnerEnd.timeS - over.start.timeS)) / cycleTimeS;
}

export interface TrialCoordination {
  /** Mean over the strokes whose propulsion starts on this hand, %; null where a hand has none. */
  readonly leftPct: number | null;
  readonly rightPct: number | null;
  /** Mean of both hands' means, %, with its standard uncertainty; null where a hand has none. */
  readonly both: Measured | null;
}

/**
 * Index of coordination of a trial from the hand-overs into the strokes that count.
 * @param cycle stroke cycle time, s, with its standard uncertainty
 */
export function trialCoordination(overs: readonly HandOver[], cycle: Measured): TrialCoordination {
  const means = HANDS.map((hand) =>
    mean(overs.filter((over) => over.hand === hand).map((over) => coordinationPct(over, cycle.value))),
  );
  const [leftPct = null, rightPct = null] = means;
  if (leftPct === null || rightPct === null) return { leftPct, rightPct, both: null };
  const value = (leftPct + rightPct) / 2;
  return { leftPct, rightPct, both: { value, u: coordinationU(overs, cycle, value) } };
}

/**
 * Independent parts average over each hand's strokes; what the marks of an event share does not, and the mean of it is
 * added once. That the cycle time and the lags share marks is left out (a few per cent of u at most).
 */
function coordinationU(overs: readonly HandOver[], cycle: Measured, value: number): number | null {
  if (cycle.u === null) return null;
  let reading = 0;
  let shared = 0;
  for (const hand of HANDS) {
    const ofHand = overs.filter((over) => over.hand === hand);
    for (const { partnerEnd, start } of ofHand) {
      const part = sharedUS(partnerEnd, start);
      if (partnerEnd.uS === null || start.uS === null || part === null) return null;
      shared += part ** 2 / overs.length;
      reading += (partnerEnd.uS ** 2 + start.uS ** 2) / ofHand.length ** 2;
    }
  }
  const lags = (100 / cycle.value) ** 2 * (reading / 4 + shared);
  return Math.sqrt(lags + ((value * cycle.u) / cycle.value) ** 2);
}
