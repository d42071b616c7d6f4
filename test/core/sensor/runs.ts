/** Runs up and down at the bench, invented. */
import type { BenchPoint } from '../../../core/sensor/metrology.ts';

export const EXACT = { sharedKpa: 0, scale: 0, perPointKpa: 0 };
export const STEPS = [0, 3, 6, 9, 12, 15];
/** Two runs up and down at 600 raw/kPa from 8000, with small fixed errors. */
const ERRORS = [3, -2, 1, -3, 2, -1, 2, 4, -1, 3, -4, 1, -2, 2, 0, -3, 3, 1, -1, 2, -2, 4, -3, 0];
export function runs(sensitivity = 600, count = 2): BenchPoint[] {
  const point = (appliedKpa: number, direction: 'up' | 'down', run: number) => ({
    appliedKpa,
    direction,
    run,
  });
  return Array.from({ length: count }, (_, run) => [
    ...STEPS.map((kpa) => point(kpa, 'up', run + 1)),
    ...STEPS.toReversed().map((kpa) => point(kpa, 'down', run + 1)),
  ])
    .flat()
    .map((made, k) => ({ ...made, raw: 8000 + sensitivity * made.appliedKpa + ERRORS[k]!, setAside: null }));
}
