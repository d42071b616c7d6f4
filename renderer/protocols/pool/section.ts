/** The measured section as it is moved on the pool: in steps of 0.1 m, never turned round, never outside the run. */
import { largest, smallest } from '../../../core/base/extent.ts';

/** Distances from the finishing wall, m, start first. */
export type SectionM = readonly [startM: number, endM: number];
/** What is taken hold of: one end, or the whole. */
export type Grip = 'start' | 'end' | 'band';

export const STEP_M = 0.1;
/** With Shift, and with the page keys. */
export const LONG_STEP_M = 1;

/**
 * The section after one of its ends, or the whole of it, has moved.
 * @param byM towards the finishing wall where above 0
 * @param runM length of the run, the farthest an end may go
 */
export function movedSection(section: SectionM, grip: Grip, byM: number, runM: number): [number, number] {
  const [start, end] = [largest(section), smallest(section)];
  const farthest = Math.max(runM, start);
  if (grip === 'start') return [within(snapped(start - byM), end + STEP_M, farthest), end];
  if (grip === 'end') return [start, within(snapped(end - byM), 0, start - STEP_M)];
  const length = start - end;
  const nearer = within(snapped(end - byM), 0, farthest - length);
  return [exact(nearer + length), exact(nearer)];
}

function within(value: number, least: number, most: number): number {
  return exact(Math.min(Math.max(value, least), Math.max(least, most)));
}

function snapped(valueM: number): number {
  return Math.round(valueM / STEP_M) * STEP_M;
}

/** Without what floating point adds in the last digits. */
function exact(valueM: number): number {
  return Number(valueM.toFixed(6));
}

/** How far a key moves a grip towards the finishing wall, m; null for a key that does not. */
export function keyStepM(key: string, shift: boolean): number | null {
  const step = shift ? LONG_STEP_M : STEP_M;
  switch (key) {
    case 'ArrowRight':
    case 'ArrowUp':
      return step;
    case 'ArrowLeft':
    case 'ArrowDown':
      return -step;
    case 'PageUp':
      return LONG_STEP_M;
    case 'PageDown':
      return -LONG_STEP_M;
    case 'End':
      return Number.POSITIVE_INFINITY;
    case 'Home':
      return Number.NEGATIVE_INFINITY;
    default:
      return null;
  }
}
