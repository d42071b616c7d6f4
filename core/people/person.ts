/**
 * One swimmer in what a lab holds: which texts and values are about them, what of a value is theirs alone, and the value
 * without them. A value is anything that JSON can hold, as it is kept of a decision.
 */

/** A swimmer, and what on one day stands for them. */
export interface Person {
  readonly participant: string;
  /** Codes of their trials. */
  readonly trials: ReadonlySet<string>;
  /** Numbers of the files that came in for them. */
  readonly files: ReadonlySet<number>;
  /** Codes of other swimmers and their trials: one of them may hold the swimmer's. */
  readonly others: ReadonlySet<string>;
}

/** What stands in a text where a swimmer stood: a word, and a code. */
export const ERASED = 'erased';

/** Texts without the swimmer: each of their codes in it gives way to a word, codes of others stay. */
export function maskOf({ participant, trials, others }: Person, word = ERASED): (text: string) => string {
  return withoutCodes([participant, ...trials], others, word);
}

/** Texts without the others: what is handed to the swimmer names nobody else. */
export function othersMaskOf({ participant, trials, others }: Person): (text: string) => string {
  return others.size === 0
    ? (text) => text
    : withoutCodes([...others], new Set([participant, ...trials]), 'another');
}

function withoutCodes(
  given: readonly string[],
  others: ReadonlySet<string>,
  word: string,
): (text: string) => string {
  const own = new Set(given.map((code) => code.toLowerCase()));
  const holds = (code: string) => [...own].some((mine) => code.toLowerCase().includes(mine));
  const kept = [...others].filter((code) => !own.has(code.toLowerCase()) && holds(code));
  const codes = [...own, ...kept].toSorted((a, b) => b.length - a.length);
  const either = codes.map((code) => code.replace(/[-.]/g, '\\$&')).join('|');
  // A code goes on where a letter or digit follows: P1 is not in P10, but it is in P1-2 and in P1_A.csv.
  const pattern = new RegExp(`(?<![A-Za-z0-9])(?:${either})(?![A-Za-z0-9])`, 'gi');
  return (text) => text.replace(pattern, (code) => (own.has(code.toLowerCase()) ? word : code));
}

function isOwnCode({ participant, trials }: Person, text: string): boolean {
  return text === participant || trials.has(text);
}

/** True for an item of a list that is about the swimmer: their row, their trial, their file, a note on them. */
function isAbout(person: Person, item: object): boolean {
  const { participant, trial, file, to } = item as Readonly<Record<string, unknown>>;
  if (participant === person.participant) return true;
  if (typeof trial === 'string' && person.trials.has(trial)) return true;
  if (typeof file === 'number' && person.files.has(file)) return true;
  return typeof to === 'object' && to !== null && isAbout(person, to);
}

/**
 * The value without the swimmer: items of lists that are about them are left out, their codes in texts are masked.
 * @param inPlace true where a code in a list gives way to {@link ERASED}, since the places of the others count
 */
export function withoutPerson(value: unknown, person: Person, inPlace = false): unknown {
  const mask = maskOf(person);
  const without = (part: unknown): unknown => {
    if (typeof part === 'string') return mask(part);
    if (typeof part !== 'object' || part === null) return part;
    if (!Array.isArray(part))
      return Object.fromEntries(
        Object.entries(part)
          .filter(([key]) => !isOwnCode(person, key))
          .map(([key, own]) => [mask(key), without(own)]),
      );
    return part.flatMap((item: unknown) => {
      if (typeof item === 'string' && isOwnCode(person, item)) return inPlace ? [ERASED] : [];
      return typeof item === 'object' && item !== null && isAbout(person, item) ? [] : [without(item)];
    });
  };
  return without(value);
}

/** A part of a value that is about a swimmer, and the name of the list that it stands in. */
export interface OwnPart {
  readonly in: string;
  readonly value: unknown;
}

/** What of a value is about the swimmer and nobody else, in the order in which it stands there. */
export function partsOf(value: unknown, person: Person): readonly OwnPart[] {
  const parts: OwnPart[] = [];
  const look = (part: unknown, name: string): void => {
    if (typeof part !== 'object' || part === null) return;
    if (!Array.isArray(part)) {
      for (const [key, own] of Object.entries(part)) look(own, key);
      return;
    }
    for (const item of part as readonly unknown[]) {
      const isOwn =
        typeof item === 'string'
          ? isOwnCode(person, item)
          : typeof item === 'object' && item !== null && isAbout(person, item);
      if (isOwn) parts.push({ in: name, value: item });
      else look(item, name);
    }
  };
  look(value, '');
  return parts;
}
