/** Points as entered, beside what the assessment says of each. */
import type { BenchPointEntry } from '../../../core/sensor/draft.ts';
import type { AssessedPoint } from '../../../core/sensor/metrology.ts';
import type { Kind } from '../../plot/axes.ts';
import type { Bench } from './bench.svelte.ts';

/** How a point is drawn. */
export function kindOf({ setAside, direction }: Pick<BenchPointEntry, 'setAside' | 'direction'>): Kind {
  return setAside !== null ? 'aside' : (direction ?? 'none');
}

/** The assessed point of each entry; null where it has no pressure or there is no line. */
export function residualsByEntry(bench: Bench): readonly (AssessedPoint | null)[] {
  const assessed = bench.assessed?.assessment?.points ?? [];
  let next = 0;
  // The assessment holds, in their order, the points that have a pressure.
  return bench.draft.points.map((entry) => (bench.kpaOf(entry) === null ? null : (assessed[next++] ?? null)));
}
