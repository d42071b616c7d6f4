/** Where propulsion was read, in words: an index of coordination from force and one from film are not the same number. */
import type { HandOver } from '../stroke/coordination.ts';
import type { PropulsionBasis, StrokeResult } from './result.ts';

/** Beside a number that rests on propulsion. */
export const FROM_WORDS: Readonly<Record<PropulsionBasis, string>> = {
  force: 'from force',
  video: 'from film',
  mixed: 'from force and film',
};

export const BASIS_WORDS: Readonly<Record<PropulsionBasis, string>> = {
  force: `propulsion ${FROM_WORDS.force}`,
  video: `propulsion ${FROM_WORDS.video}`,
  mixed: `propulsion ${FROM_WORDS.mixed}`,
};

/** What one hand-over was read from: both of its marks from one thing, or one from each (`mixed`). */
export function handOverBasis({ partnerEnd, start }: HandOver): PropulsionBasis {
  if (partnerEnd.clock !== start.clock) return 'mixed';
  return start.clock === 'trace' ? 'force' : 'video';
}

/**
 * What the hand-overs of a trial's index of coordination were read from, counted, as the end of a sentence; null where
 * all were read from one thing.
 */
export function mixedBasisSays(
  strokes: readonly Pick<StrokeResult, 'handOver' | 'idcPct' | 'counts'>[],
): string | null {
  const counts = new Map<PropulsionBasis, number>();
  for (const { handOver, idcPct, counts: own } of strokes) {
    if (handOver === null || idcPct === null || !own) continue;
    const basis = handOverBasis(handOver);
    counts.set(basis, (counts.get(basis) ?? 0) + 1);
  }
  if (counts.size < 2 && !counts.has('mixed')) return null;
  const from = { force: 'from force', video: 'from film', mixed: 'from one to the other' } as const;
  const parts = (['force', 'video', 'mixed'] as const).flatMap((basis) =>
    counts.has(basis) ? [`${counts.get(basis)!} ${from[basis]}`] : [],
  );
  return `of its hand-overs ${parts.join(', ')}: a mean of what is not the same quantity`;
}
