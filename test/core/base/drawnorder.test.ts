/** The order in which a second rater sees trials. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { blindOrder, fnv1a, xoshiro128 } from '../../../core/base/drawnorder.ts';

describe('numbers published elsewhere', () => {
  test('FNV-1a, 32 bit: test values of its authors (Fowler, Noll & Vo; from memory)', () => {
    expect(fnv1a('')).toBe(0x811c9dc5);
    expect(fnv1a('a')).toBe(0xe40c292c);
    expect(fnv1a('foobar')).toBe(0xbf9cf968);
  });

  test('xoshiro128** from the state 1, 2, 3, 4: test values of an open library (rand_xoshiro; from memory)', () => {
    const next = xoshiro128([1, 2, 3, 4]);
    expect(Array.from({ length: 10 }, next)).toEqual([
      11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804,
    ]);
  });
});

const codes = fc.uniqueArray(fc.stringMatching(/^[A-Za-z0-9_.-]{1,8}$/), { maxLength: 30 });

describe('the order', () => {
  test('holds every item once, comes from the seed alone, and its labels tell nothing', () => {
    fc.assert(
      fc.property(codes, fc.string(), (items, seed) => {
        const order = blindOrder(items, seed);
        expect(order.map(({ item }) => item).toSorted()).toEqual(items.toSorted());
        expect(blindOrder(items.toReversed(), seed)).toEqual(order);
        const width = String(items.length).length;
        expect(order.map(({ label }) => label)).toEqual(
          items.map((_, k) => `Trial ${String(k + 1).padStart(width, '0')}`),
        );
      }),
    );
  });

  test('is the same on every machine', () => {
    const items = ['P01-1', 'P01-2', 'P02-1', 'P02-2', 'P03-1', 'P03-2'];
    expect(blindOrder(items, '2026-03-14-am').map(({ item }) => item)).toMatchInlineSnapshot(`
      [
        "P03-2",
        "P02-2",
        "P03-1",
        "P01-1",
        "P01-2",
        "P02-1",
      ]
    `);
    expect(blindOrder(items, 'été 🏊').map(({ item }) => item)).toMatchInlineSnapshot(`
      [
        "P03-2",
        "P01-2",
        "P01-1",
        "P02-1",
        "P03-1",
        "P02-2",
      ]
    `);
  });

  test('puts every item everywhere about equally often', () => {
    const items = ['a', 'b', 'c', 'd', 'e', 'f'];
    const seen = items.map(() => items.map(() => 0));
    const rounds = 6000;
    for (let seed = 0; seed < rounds; seed++)
      blindOrder(items, String(seed)).forEach(({ item }, k) => {
        seen[items.indexOf(item)]![k]! += 1;
      });
    const expected = rounds / items.length;
    const chi2 = seen.flat().reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0);
    // 25 degrees of freedom: 52.6 is exceeded once in a thousand (chi-square table, from memory).
    expect(chi2).toBeLessThan(52.6);
  });

  test('an item given twice is a bug', () => expect(() => blindOrder(['a', 'a'], '')).toThrow(RangeError));
});
