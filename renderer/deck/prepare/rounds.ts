/** The order of the trials as rounds: a round ends where a swimmer would come a second time. */
import type { DeckRun } from '../../../core/deck/deck.ts';

export function roundsOf(runs: readonly DeckRun[]): readonly (readonly DeckRun[])[] {
  const rounds: DeckRun[][] = [];
  let seen = new Set<string>();
  for (const run of runs) {
    if (rounds.length === 0 || seen.has(run.participant)) {
      rounds.push([]);
      seen = new Set();
    }
    rounds.at(-1)!.push(run);
    seen.add(run.participant);
  }
  return rounds;
}

/** A short seed that can be read aloud and typed again. */
export function freshSeed(): string {
  const [word] = crypto.getRandomValues(new Uint32Array(1));
  return word!.toString(36).padStart(7, '0');
}
