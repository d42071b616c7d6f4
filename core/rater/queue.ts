/**
 * The trials of a day shared out to those who mark them, and a part of them drawn for a second marking by another rater.
 * Drawn from a seed, so that who marks what does not hang on the order of the day, and anyone can draw it again
 * (core/base/drawnorder.ts). How large the part is is the lab's choice; 10 to 20 % is common practice, no source.
 */
import { blindOrder } from '../base/drawnorder.ts';
import { done, failed, type Outcome } from '../base/refusal.ts';

/** Who marks a trial, and who marks it a second time; null where nobody does. */
export interface SharedTrial {
  readonly trial: string;
  readonly rater: string;
  readonly second: string | null;
}

export interface QueueWish {
  /** Codes of the trials; their order does not matter. */
  readonly trials: readonly string[];
  /** Codes of the raters, in the order in which they take turns. */
  readonly raters: readonly string[];
  /** % of the trials that are marked twice, 0 to 100; the number is rounded up. */
  readonly sharePct: number;
  readonly seed: string;
}

type QueueFault = { readonly says: string; readonly todo: string };

/** Shares trials out in the drawn order; refuses raters named twice, none, and a second marking by one rater alone. */
export function shareOut({
  trials,
  raters,
  sharePct,
  seed,
}: QueueWish): Outcome<readonly SharedTrial[], QueueFault> {
  if (raters.length === 0)
    return failed({ says: 'No rater is named.', todo: 'Write the code of at least one, such as R1.' });
  if (new Set(raters).size < raters.length)
    return failed({ says: 'A rater is named twice.', todo: 'Name each once.' });
  if (!(sharePct >= 0 && sharePct <= 100))
    return failed({ says: `${sharePct} % is no share.`, todo: 'Give 0 to 100 %.' });
  if (sharePct > 0 && raters.length < 2)
    return failed({
      says: 'A second marking needs a second rater.',
      todo: 'Name another rater, or make the share 0 %.',
    });
  const order = (of: string) => blindOrder(trials, of).map(({ item }) => item);
  const twice = order(`${seed}/second`).slice(0, Math.ceil((trials.length * sharePct) / 100 - 1e-9));
  return done(
    order(seed).map((trial, turn) => {
      const first = turn % raters.length;
      const at = twice.indexOf(trial);
      // The others take turns, beginning with the one after the first rater.
      const second = at < 0 ? null : raters[(first + 1 + (at % (raters.length - 1))) % raters.length]!;
      return { trial, rater: raters[first]!, second };
    }),
  );
}
