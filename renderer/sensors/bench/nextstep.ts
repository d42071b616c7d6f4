/**
 * What is to be read next: coming down, and in every further run, the pressures of the first way up are read again.
 * Depths and pressures are in the unit in which they were entered.
 */
import type { BenchPointEntry } from '../../../core/sensor/draft.ts';
import type { PressureUnit } from '../../../core/sensor/hydrostatics.ts';

export type Direction = 'up' | 'down';

export interface NextStep {
  /** Null where the person decides: the first way up. */
  readonly applied: number | null;
  readonly direction: Direction;
  readonly run: number;
}

/** The step that follows the points so far, in the direction they go. */
export function nextStep(points: readonly BenchPointEntry[], unit: PressureUnit): NextStep {
  const used = points.filter(({ setAside, appliedUnit }) => setAside === null && appliedUnit === unit);
  const last = used.at(-1);
  if (last === undefined || last.direction === null)
    return { applied: null, direction: 'up', run: last?.run ?? 1 };
  return stepOf(used, last.direction, last.run);
}

/** The step in a direction and run that a person chose. */
export function stepOf(used: readonly BenchPointEntry[], direction: Direction, run: number): NextStep {
  const first = used[0]?.run ?? run;
  const ladder = distinct(used.filter((point) => point.run === first && point.direction === 'up'));
  const read = used.filter((point) => point.run === run && point.direction === direction);
  const left = ladder.filter((applied) => !read.some((point) => point.applied === applied));
  if (direction === 'down') {
    const applied = left.at(-1);
    if (applied !== undefined) return { applied, direction, run };
    return ladder.length === 0
      ? { applied: null, direction, run }
      : { applied: ladder[0]!, direction: 'up', run: run + 1 };
  }
  if (run === first) return { applied: null, direction, run };
  const applied = left[0];
  return applied === undefined ? stepOf(used, 'down', run) : { applied, direction, run };
}

function distinct(points: readonly BenchPointEntry[]): readonly number[] {
  return [...new Set(points.map(({ applied }) => applied))].toSorted((a, b) => a - b);
}
