/**
 * Times between marks: velocity in the measured section, stroke cycle, stroke rate and length, phase shares and
 * high-hand time, with their standard uncertainties. Definitions: formats.md section 2.
 * v = stroke rate × stroke length (Craig & Pendergast 1979); phases after Chollet et al. 2000.
 */
import { largest } from '../base/extent.ts';
import {
  type Section,
  type Stroke,
  strokesOf,
  type Mark,
  isInSection,
  type EventName,
  sharedUS,
  type EntryPosition,
} from './stroke.ts';
import { type Measured, rootSumSquares } from '../base/uncertainty.ts';
import { HANDS } from '../base/hand.ts';
import { mean } from '../base/statistics.ts';

/** What the uncertainty of a velocity is made of. */
export interface VelocityParts {
  /** Standard uncertainty of the section's length, m; null where not given. */
  readonly sectionUM: number | null;
  /** Standard uncertainty of one section time, s; null where not given. */
  readonly timingUS: number | null;
  /** Half the difference of the highest and lowest speed within a stroke cycle, % of the mean; null where not given. */
  readonly speedVariationPct: number | null;
  /** Stroke cycle time, s; null where there is none. */
  readonly cycleTimeS: number | null;
}

/**
 * Mean velocity in the measured section, m/s. The section need not span whole stroke cycles: a speed that goes up and
 * down by a sine of the cycle's half is read wrongly by at most a/100 · (T/2) / (2πΔt) of it.
 */
export function velocity(lengthM: number, section: Section, parts: VelocityParts): Measured {
  const { sectionUM, timingUS, speedVariationPct, cycleTimeS } = parts;
  const time = section.endS - section.startS;
  const value = lengthM / time;
  const relative = rootSumSquares([
    sectionUM === null ? null : sectionUM / lengthM,
    timingUS === null ? null : (Math.SQRT2 * timingUS) / time,
    speedVariationPct === null || cycleTimeS === null
      ? 0
      : ((speedVariationPct / 100) * (cycleTimeS / 2)) / (2 * Math.PI * time),
  ]);
  return { value, u: relative === null ? null : value * relative };
}

/**
 * Stroke cycle time, s: mean over both hands of the intervals between the propulsion starts of consecutive strokes,
 * both in the closed section. No interval spans a missing stroke number. Null without an interval.
 */
export function cycleTime(strokes: readonly Stroke[], section: Section): Measured | null {
  let total = 0;
  let intervals = 0;
  const ends: (number | null)[] = [];
  for (const hand of HANDS) {
    let previous: Stroke | null = null;
    let inRun = false;
    for (const stroke of strokesOf(strokes, hand)) {
      const [from, to] = [startInSection(previous, section), startInSection(stroke, section)];
      const follows = previous !== null && stroke.number === previous.number + 1;
      if (follows && from !== null && to !== null) {
        total += to.timeS - from.timeS;
        intervals++;
        // Inner marks of an unbroken run cancel; only its first and last remain.
        if (inRun) ends.pop();
        else ends.push(from.uS);
        ends.push(to.uS);
        inRun = true;
      } else inRun = false;
      previous = stroke;
    }
  }
  if (intervals === 0) return null;
  const u = rootSumSquares(ends);
  return { value: total / intervals, u: u === null ? null : u / intervals };
}

function startInSection(stroke: Stroke | null, section: Section): Mark | null {
  const mark = stroke?.marks.propulsion_start;
  return mark !== undefined && isInSection(mark.timeS, section) ? mark : null;
}

/** Stroke rate, cycles/min, of a cycle time in s: 60 / T, its relative uncertainty that of T (JCGM 100, 5.1.6). */
export function strokeRate(cycle: Measured): Measured {
  const value = 60 / cycle.value;
  return { value, u: cycle.u === null ? null : (value * cycle.u) / cycle.value };
}

/**
 * Stroke length, m per cycle of both arms: velocity (m/s) × cycle time (s), their relative uncertainties combined as
 * independent: the one comes from the section's ends, the other from marks of strokes.
 */
export function strokeLength(speed: Measured, cycle: Measured): Measured {
  const value = speed.value * cycle.value;
  const relative = rootSumSquares([
    speed.u === null ? null : speed.u / speed.value,
    cycle.u === null ? null : cycle.u / cycle.value,
  ]);
  return { value, u: relative === null ? null : value * relative };
}

/** Shares of one arm's cycle, %, null where a mark is missing. */
export interface PhaseShares {
  readonly entryCatchPct: number | null;
  readonly pullPct: number | null;
  readonly pushPct: number | null;
  readonly recoveryPct: number | null;
}

/** Phase shares of a stroke over the cycle from its water entry to that of the next stroke of the same hand. */
export function phaseShares(stroke: Stroke, next: Stroke | null): PhaseShares {
  const at = (event: EventName) => stroke.marks[event]?.timeS ?? null;
  const nextEntry = next?.marks.water_entry?.timeS ?? null;
  const entry = at('water_entry');
  const cycle = entry === null || nextEntry === null ? null : nextEntry - entry;
  const share = (from: number | null, to: number | null) =>
    cycle === null || cycle <= 0 || from === null || to === null ? null : (100 * (to - from)) / cycle;
  return {
    entryCatchPct: share(entry, at('propulsion_start')),
    pullPct: share(at('propulsion_start'), at('shoulder_plane')),
    pushPct: share(at('shoulder_plane'), at('propulsion_end')),
    recoveryPct: share(at('propulsion_end'), nextEntry),
  };
}

/** High-hand time of a stroke, s. */
export interface HighHand extends Measured {
  /** The part of `u` that all strokes of the trial share, s; null where `u` is. */
  readonly sharedUS: number | null;
}

/**
 * High-hand time of a stroke, s: full reach to hand below shoulder; 0, without an uncertainty of its
 * own, where the hand enters below the shoulder (common practice, no source). Null where marks are missing.
 */
export function highHandTime(stroke: Stroke): HighHand | null {
  if (stroke.entryPosition === 'below') return { value: 0, u: null, sharedUS: null };
  const { full_reach: from, hand_below_shoulder: to } = stroke.marks;
  if (from === undefined || to === undefined) return null;
  const shared = sharedUS(from, to);
  const u = rootSumSquares([from.uS, to.uS, shared]);
  // Dust of a mapped clock between two equal moments is no time.
  return { value: Math.max(0, to.timeS - from.timeS), u, sharedUS: u === null ? null : shared };
}

/**
 * High-hand time of a trial, s: the mean over its strokes. What each stroke has of its own averages over all of them,
 * what they share does not. Null without a stroke that has one; `u` null where none has an uncertainty.
 */
export function meanHighHand(strokes: readonly HighHand[]): Measured | null {
  if (strokes.length === 0) return null;
  let [total, own, shared, uncertain] = [0, 0, 0, 0];
  for (const { value, u, sharedUS: sharedPart } of strokes) {
    total += value;
    if (u === null || sharedPart === null) continue;
    own += u ** 2 - sharedPart ** 2;
    shared += sharedPart ** 2;
    uncertain++;
  }
  const n = strokes.length;
  // (m/N)² · mean u_sh², the mean being over the m strokes that have one.
  const u = uncertain === 0 ? null : Math.sqrt(Math.max(0, own) / n ** 2 + (uncertain * shared) / n ** 2);
  return { value: total / n, u };
}

/** The most frequent entry position, `mixed` on a tie, null where none was judged. */
export function commonEntryPosition(strokes: readonly Stroke[]): EntryPosition | 'mixed' | null {
  const counts = (['above', 'level', 'below'] as const).map(
    (position) => [position, strokes.filter((stroke) => stroke.entryPosition === position).length] as const,
  );
  const most = largest(counts.map(([, count]) => count));
  if (most === 0) return null;
  const leaders = counts.filter(([, count]) => count === most);
  return leaders.length > 1 ? 'mixed' : leaders[0]![0];
}

/** Mean of the values that are there, in their unit; null without one. */
export function meanOf(values: readonly (number | null)[]): number | null {
  return mean(values.filter((value) => value !== null));
}
