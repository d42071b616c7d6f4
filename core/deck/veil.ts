/**
 * What of a testing day may be printed: nothing that names a swimmer who withdrew or does not consent. Such swimmers
 * are a count; a sentence or a file's name that holds one of their codes is left out whole.
 */
import type { DeckPlan } from './deck.ts';
import type { Shown } from '../base/shown.ts';
import { consentHolds } from '../day/tables.ts';

/** Says whether a text names a swimmer who must not be named. */
export type Names = (text: string) => boolean;

/** What stands in place of a person's sentence that names a swimmer who must not be named. */
export const UNNAMED = 'not shown: it names a swimmer whose data are not shown' as Shown<string>;

/** For texts that can name nobody: sensors, limits, a day whose folder holds consenting swimmers alone. */
export const namesNobody: Names = () => false;

/** Makes a text that may be shown: itself, or where it names somebody hidden what stands in its place. */
export function veiled(names: Names, text: string): Shown<string> {
  return names(text) ? UNNAMED : (text as Shown<string>);
}

/**
 * @param former codes that earlier states of the day knew and that no consenting swimmer has now
 */
export function namesWithheld(plan: DeckPlan, former: readonly string[]): Names {
  return namesAny(new Set([...withheldCodes(plan), ...former]));
}

/** As {@link namesWithheld}, of those alone who withdrew. */
export function namesWithdrawn({ swimmers }: DeckPlan): Names {
  const withdrawn = swimmers.filter(({ consents }) => consents.measuring === 'withdrawn');
  return namesAny(new Set(withdrawn.map(({ participant }) => participant)));
}

/** Says whether a text holds one of these codes. */
export function namesAny(codes: ReadonlySet<string>): Names {
  if (codes.size === 0) return namesNobody;
  const either = [...codes].map((code) => code.replace(/[-.]/g, '\\$&')).join('|');
  // A code goes on where a letter or digit follows: P1 is not in P10, but it is in P1-2 and in P1_A.csv.
  const pattern = new RegExp(`(?<![A-Za-z0-9])(?:${either})(?![A-Za-z0-9])`, 'i');
  return (text) => pattern.test(text);
}

function withheldCodes({ swimmers }: DeckPlan): readonly string[] {
  return swimmers
    .filter(({ consents }) => !consentHolds(consents.measuring))
    .map(({ participant }) => participant);
}

/** How many swimmers withdrew or do not consent. */
export function withheldCount(plan: DeckPlan): number {
  return withheldCodes(plan).length;
}
