/**
 * Lists of any length: their ends, and one put behind another. A list spread into a call's arguments lies on the
 * stack, which a hundred thousand of them overflow. Our own definition of the ends of an empty list.
 */

/** The largest value, in the unit of the values; −∞ for an empty list. */
export function largest(values: Iterable<number>): number {
  let most = -Infinity;
  for (const value of values) most = Math.max(most, value);
  return most;
}

/** The smallest value, in the unit of the values; ∞ for an empty list. */
export function smallest(values: Iterable<number>): number {
  let least = Infinity;
  for (const value of values) least = Math.min(least, value);
  return least;
}

/** Puts every item of `more` behind those of `list`. */
export function addAll<T>(list: T[], more: Iterable<T>): void {
  for (const item of more) list.push(item);
}
