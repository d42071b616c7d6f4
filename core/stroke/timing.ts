/**
 * Times between marks: velocity in the measured section, stroke cycle, stroke rate and length, phase shares and
 * high-hand time, with their standard uncertainties. Definitions: formats.md section 2.
 * v = stroke rate × stroke length (Craig & Pendergast 1979); phases after Chollet et al. 2000.
 */
import { type Section, type Stroke, strokesOf, type Mark, isInSection, type EventName } from './stroke.ts';
import { type Measured, rootSumSquares } from '../base/uncertainty.ts';
import { HANDS } from '../base/hand.ts';
import { mean } from '../base/statistics.ts';

/**
 * Mean velocity in the measured section, m/s.
 * @param sectionUM standard uncertainty of the section's length, m
 * @param timingUS standard uncertainty of one section time, s
 */
export function velocity(
  lengthM: number,
  section: Section,
  sectionUM: number | null,
  timingUS: number | null,
): Measured {
  const time = section.endS - section.startS;
  const value = lengthM / time;
  const relative = rootSumSquares([
    sectionUM === null ? null : sectionUM / lengthM,
    timingUS === null ? null : (Math.SQRT2 * timingUS) / time,
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

/**
 * High-hand time of a stroke, s: full reach to hand below shoulder; 0, without an uncertainty of its
 * own, where the hand enters below the shoulder (common practice, no source). Null where marks are missing.
 */
export function highHandTime(stroke: Stroke): Measured | null {
  if (stroke.entryPosition === 'below') return { value: 0, u: null };
  const { full_reach: from, hand_below_shoulder: to } = stroke.marks;
  if (from === undefined || to === undefined) return null;
  // Dust of a mapped clock between two equal moments is no time.
  return { value: Math.max(0, to.timeS - from.timeS), u: rootSumSquares([from.uS, to.uS]) };
}

/** The most frequent entry position, `mixed` on a tie, null where none was judged. */
export function commonEntryPosition(
  strokes: readonly Stroke[],
): 'above' | 'level' | 'below' | 'mixed' | null {
  const counts = (['above', 'level', 'below'] as const).map(
    (position) => [position, strokes.filter((stroke) => stroke.entryPosition === position).length] as const,
  );
  const most = Math.max(...counts.map(([, count]) => count));
  if (most === 0) return null;
  const leaders = counts.filter(([, count]) => count === most);
  return leaders.length > 1 ? 'mixed' : leaders[0]![0];
}

/** Mean of values that are there; null without one. */
export function meanOf(values: readonly (number | null)[]): number | null {
  return mean(values.filter((value) => value !== null));
}
