/**
 * The protocol of a testing day: what is swum, what is measured, and when a trial is good enough.
 * Contract: formats.md section 1, day.json.
 */
import type { FilterChoice } from '../force/filter.ts';

/** The body point timed at an end of the measured section. */
export type BodyPoint = 'head' | 'hip' | 'hand';

/** Acceptance limits; a limit that is null is not applied. */
export interface AcceptanceLimits {
  readonly minStrokesPerHand: number | null;
  readonly maxGapMs: number | null;
  readonly maxSaturatedFraction: number | null;
  readonly maxZeroShiftKpa: number | null;
  /** Largest deviation of a known pressure read at the start or the end of the day, kPa. */
  readonly maxCheckDeviationKpa: number | null;
}

/** How far the depths of a hand's two taps may differ as the hand turns, mm (common practice, no source). */
export const DEFAULT_TAP_OFFSET_MM = 10;

/**
 * Standard uncertainty of placing a mark that a protocol begins with, s. Two raters who know the events mostly put the
 * same moment within one frame of 50 Hz of each other (common practice, no source): a difference anywhere within
 * ± 20 ms has a standard deviation of 20 ms/√3 (JCGM 100, 4.3.7), and each of its two marks 1/√2 of that, 8 ms. A lab's
 * own is the typical error that a second opinion shows.
 */
export const DEFAULT_MARKING_U_S = 0.008;

/** Units of a trace column that holds forces. */
export const FORCE_UNITS = ['N', 'lbf'] as const;

export interface Protocol {
  readonly name: string | null;
  readonly stroke: string | null;
  readonly runM: number | null;
  /** Distances of the measured section from the finishing wall, m, start first; null where not given. */
  readonly sectionFromWallM: readonly [number, number] | null;
  /** Standard uncertainty of the section's length, m. */
  readonly sectionUM: number | null;
  readonly sectionPoints: { readonly start: BodyPoint | null; readonly end: BodyPoint | null };
  readonly attempts: number | null;
  readonly restMinS: number | null;
  /** Standard uncertainty of placing a mark, beside that of reading a frame or sample, s; null where not stated. */
  readonly markingUS: number | null;
  /** How far the depths of a hand's two taps may differ as the hand turns, mm. */
  readonly tapOffsetMm: number;
  /** Half the difference of the highest and lowest speed within a stroke cycle, % of the mean; null where not known. */
  readonly speedVariationPct: number | null;
  readonly filter: FilterChoice;
  readonly accept: AcceptanceLimits;
}

/** Length of the measured section, m; null where no section is set or its ends coincide. */
export function sectionLengthM(protocol: Protocol): number | null {
  if (protocol.sectionFromWallM === null) return null;
  const length = Math.abs(protocol.sectionFromWallM[0] - protocol.sectionFromWallM[1]);
  return length > 0 ? length : null;
}

/**
 * True where the body points timed at the two ends differ: the distance then hides an arm's reach, and the
 * velocity is flagged `mixed_section_points`.
 */
export function hasMixedSectionPoints(protocol: Protocol): boolean {
  const { start, end } = protocol.sectionPoints;
  return start !== null && end !== null && start !== end;
}
