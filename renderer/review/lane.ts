/**
 * Where the swimmer is along the lane at a moment: taken from the section times, straight between them, carried on
 * at the same speed beyond, where it is a guess and drawn dashed.
 */
import type { Section } from '../../core/stroke/stroke.ts';

export interface LanePosition {
  /** Distance from the finishing wall, m. */
  readonly fromWallM: number;
  /** True outside the measured section, where the position is extrapolated. */
  readonly beyond: boolean;
}

/**
 * Position at a moment (s, trial's clock); null where the section or its times are not known.
 * Beyond the section it stays between the start of the run and the wall.
 */
export function lanePosition(
  timeS: number,
  section: Section | null,
  sectionFromWallM: readonly [number, number] | null,
  runM: number | null,
): LanePosition | null {
  if (section === null || sectionFromWallM === null || !(section.endS > section.startS)) return null;
  const [start, end] = sectionFromWallM;
  const share = (timeS - section.startS) / (section.endS - section.startS);
  const straight = start + share * (end - start);
  const beyond = timeS < section.startS || timeS > section.endS;
  const far = Math.max(runM ?? 0, start, end);
  return { fromWallM: Math.min(far, Math.max(0, straight)), beyond };
}
