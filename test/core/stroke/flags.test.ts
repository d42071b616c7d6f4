/** Flags: a closed list with a sentence each, printed once and in one order. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { FLAG_MEANINGS, flagMeaning, orderFlags } from '../../../core/stroke/flags.ts';

const flags = FLAG_MEANINGS.map(([flag]) => flag);

test('each has a name that a cell of a table takes, and a sentence', () => {
  expect(flags.length).toBeGreaterThan(20);
  expect(new Set(flags).size).toBe(flags.length);
  for (const flag of flags) {
    expect(flag).toMatch(/^[a-z]+(?:_[a-z]+)*$/);
    expect(flagMeaning(flag)).toMatch(/^[A-Z].*\.$/);
  }
});

test('in whatever order they are set, and however often, they are printed once in the order of the codebook', () => {
  fc.assert(
    fc.property(fc.array(fc.constantFrom(...flags)), (set) => {
      const printed = orderFlags(set);
      expect(new Set(printed)).toEqual(new Set(set));
      expect(printed).toEqual(flags.filter((flag) => set.includes(flag)));
      expect(orderFlags(printed.toReversed())).toEqual(printed);
    }),
  );
});
