/** The order of the trials as rounds: a round ends where a swimmer would come a second time. */
import type { BoardTrial } from '../../../core/deck/deck.ts';

export function roundsOf(swims: readonly BoardTrial[]): readonly (readonly BoardTrial[])[] {
  const rounds: BoardTrial[][] = [];
  let seen = new Set<string>();
  for (const swim of swims) {
    if (rounds.length === 0 || seen.has(swim.participant)) {
      rounds.push([]);
      seen = new Set();
    }
    rounds.at(-1)!.push(swim);
    seen.add(swim.participant);
  }
  return rounds;
}

/** A short seed that can be read aloud and typed again. */
export function freshSeed(): string {
  const [word] = crypto.getRandomValues(new Uint32Array(1));
  return word!.toString(36).padStart(7, '0');
}
