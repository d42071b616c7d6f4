/** Check values with their sources: entries of data/*.json, each naming where its number was published. */
import { readFileSync } from 'node:fs';
import { expect } from 'vitest';

/** One outside value; `confirmed` says whether its source was opened or it is from memory. */
export interface Check<I, E> {
  readonly id: string;
  readonly quantity: string;
  readonly inputs: I;
  readonly expected: E;
  readonly tolerance: { readonly abs?: number; readonly rel?: number } | null;
  readonly source: string;
  readonly confirmed: 'opened' | 'from memory';
}

/** Reads a file of data/ as what its maker says it holds. */
export function readData<T>(file: string): T {
  return JSON.parse(readFileSync(new URL(`data/${file}`, import.meta.url), 'utf8')) as T;
}

/** The entries of a file whose id begins with a prefix; fails where there are none, so that no check goes missing. */
export function checks<I, E>(file: string, prefix: string): readonly Check<I, E>[] {
  const found = readData<Check<I, E>[]>(file).filter(({ id }) => id.startsWith(prefix));
  if (found.length === 0) throw new Error(`${file} has no entry ${prefix}`);
  return found;
}

/** One entry by its id. */
export function check<I, E>(file: string, id: string): Check<I, E> {
  return checks<I, E>(file, id).find((entry) => entry.id === id)!;
}

/** A test's title: what is checked and against whom. */
export function titleOf({ id, source, confirmed }: Check<unknown, unknown>): string {
  return `${id}: ${source}${confirmed === 'from memory' ? ' (from memory)' : ''}`;
}

/** Compares within the tolerance that the entry states. */
export function expectWithin(
  actual: number | null,
  expected: number,
  tolerance: Check<unknown, unknown>['tolerance'],
): void {
  expect(actual).not.toBeNull();
  const room = tolerance?.abs ?? Math.abs(expected) * (tolerance?.rel ?? 0);
  expect(Math.abs(actual! - expected)).toBeLessThanOrEqual(room);
}
