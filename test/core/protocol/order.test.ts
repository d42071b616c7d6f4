/** The order of trials. Printed designs are in test/reference/trialorder.test.ts. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { orderRuns, williamsSquare, type OrderRequest } from '../../../core/protocol/order.ts';

const count = <T>(items: readonly T[], key: (item: T) => string) => {
  const counts = new Map<string, number>();
  for (const item of items) counts.set(key(item), (counts.get(key(item)) ?? 0) + 1);
  return counts;
};
const pairsOf = (row: readonly (number | string | null)[]) =>
  row.slice(1).map((treatment, k) => `${row[k]}>${treatment}`);

describe('a Williams design', () => {
  test.each(Array.from({ length: 12 }, (_, k) => k + 1))('of %i treatments keeps its laws', (n) => {
    const rows = williamsSquare(n);
    const times = n % 2 === 0 || n === 1 ? 1 : 2;
    expect(rows).toHaveLength(times * n);
    for (const row of rows)
      expect(row.toSorted((a, b) => a - b)).toEqual(Array.from({ length: n }, (_, k) => k));
    for (let period = 0; period < n; period++)
      expect([...count(rows, (row) => String(row[period])).values()]).toEqual(Array(n).fill(times));
    const neighbours = count(rows.flatMap(pairsOf), (pair) => pair);
    expect(neighbours.size).toBe(n * (n - 1));
    expect(new Set(neighbours.values())).toEqual(new Set(n === 1 ? [] : [times]));
  });
});

const code = fc.stringMatching(/^[A-Za-z0-9_.-]{1,6}$/);
const request: fc.Arbitrary<OrderRequest> = fc.record({
  participants: fc.uniqueArray(code, { maxLength: 9 }),
  conditions: fc.uniqueArray(code, { maxLength: 5 }),
  attempts: fc.integer({ min: 1, max: 3 }),
  order: fc.constantFrom('listed', 'random', 'balanced'),
  seed: fc.string({ minLength: 1, maxLength: 12 }),
});

describe('the order of trials', () => {
  test('every swimmer swims every attempt of every condition once, once per round', () => {
    fc.assert(
      fc.property(request, (asked) => {
        const ordered = orderRuns(asked);
        const { runs } = ordered;
        const { participants, conditions, attempts } = asked;
        const perSwimmer = Math.max(1, conditions.length) * attempts;
        expect(runs).toHaveLength(participants.length * perSwimmer);
        const wanted = participants.flatMap((participant) =>
          (conditions.length === 0 ? [null] : conditions).flatMap((condition) =>
            Array.from({ length: attempts }, (_, k) => `${participant} ${condition} ${k + 1}`),
          ),
        );
        expect(runs.map((run) => `${run.participant} ${run.condition} ${run.attempt}`).toSorted()).toEqual(
          wanted.toSorted(),
        );
        // Rounds follow one another, and the swimmers keep one order, so that each rests one whole round.
        runs.forEach((run, k) => {
          expect(run.round).toBe(Math.floor(k / participants.length) + 1);
          expect(run.participant).toBe(runs[k % participants.length]!.participant);
        });
        expect(orderRuns(asked)).toEqual(ordered);
      }),
    );
  });

  test('listed is as listed', () => {
    const { runs } = orderRuns({
      participants: ['P02', 'P01'],
      conditions: ['paddles', 'bare'],
      attempts: 2,
      order: 'listed',
      seed: 'any',
    });
    expect(
      runs.map(({ participant, condition, attempt }) => `${participant} ${condition} ${attempt}`),
    ).toEqual([
      'P02 paddles 1',
      'P01 paddles 1',
      'P02 bare 1',
      'P01 bare 1',
      'P02 paddles 2',
      'P01 paddles 2',
      'P02 bare 2',
      'P01 bare 2',
    ]);
  });

  test('one who is added at the end of the roster changes nothing for the others', () => {
    fc.assert(
      fc.property(request, (asked) => {
        fc.pre(!asked.participants.includes('zz-late'));
        const more = orderRuns({ ...asked, participants: [...asked.participants, 'zz-late'] }).runs;
        expect(more.filter(({ participant }) => participant !== 'zz-late')).toEqual(orderRuns(asked).runs);
      }),
    );
  });

  test('a condition named twice is swum once', () =>
    expect(
      orderRuns({ participants: ['P01'], conditions: ['a', 'a'], attempts: 1, order: 'random', seed: 's' })
        .runs,
    ).toHaveLength(1));

  test('a participant given twice is a bug', () =>
    expect(() =>
      orderRuns({ participants: ['P01', 'P01'], conditions: [], attempts: 1, order: 'listed', seed: 's' }),
    ).toThrow(RangeError));

  test('is the same on every machine', () => {
    const asked = { participants: ['P01', 'P02', 'P03', 'P04'], attempts: 1, seed: '2026-03-14-am' };
    const shown = (order: OrderRequest['order']) =>
      orderRuns({ ...asked, conditions: ['a', 'b', 'c'], order })
        .runs.map(({ participant, condition }) => `${participant}${condition}`)
        .join(' ');
    expect(shown('random')).toMatchInlineSnapshot(
      `"P02b P01b P04c P03b P02c P01c P04a P03a P02a P01a P04b P03c"`,
    );
    expect(shown('balanced')).toMatchInlineSnapshot(
      `"P02c P01b P04c P03a P02a P01c P04b P03b P02b P01a P04a P03c"`,
    );
  });
});

describe('a random order', () => {
  test('puts every swimmer everywhere, and every condition everywhere, about equally often', () => {
    const participants = ['P01', 'P02', 'P03', 'P04', 'P05'];
    const conditions = ['a', 'b', 'c'];
    const swimmers = new Map<string, number>();
    const sequences = new Map<string, number>();
    const seeds = 3000;
    for (let seed = 0; seed < seeds; seed++) {
      const { runs } = orderRuns({ participants, conditions, attempts: 1, order: 'random', seed: `${seed}` });
      runs.slice(0, 5).forEach(({ participant }, place) => {
        swimmers.set(participant + place, (swimmers.get(participant + place) ?? 0) + 1);
      });
      for (const swimmer of participants.slice(0, 2)) {
        const sequence = runs
          .filter(({ participant }) => participant === swimmer)
          .map(({ condition }) => condition)
          .join('');
        sequences.set(swimmer + sequence, (sequences.get(swimmer + sequence) ?? 0) + 1);
      }
    }
    const chi2 = (counts: ReadonlyMap<string, number>, expected: number) =>
      [...counts.values()].reduce((sum, found) => sum + (found - expected) ** 2 / expected, 0);
    expect(swimmers.size).toBe(25);
    expect(sequences.size).toBe(12);
    // 16 and 10 degrees of freedom: 39.3 and 29.6 are exceeded once in a thousand (chi-square table, from memory).
    expect(chi2(swimmers, seeds / 5)).toBeLessThan(39.3);
    expect(chi2(sequences, seeds / 6)).toBeLessThan(29.6);
  });
});

describe('a balanced order', () => {
  test('with whole designs, each block is balanced over places and over what follows what', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 5 }),
        fc.integer({ min: 1, max: 2 }),
        fc.integer({ min: 1, max: 3 }),
        fc.string({ minLength: 1 }),
        (size, designs, attempts, seed) => {
          const conditions = ['a', 'b', 'c', 'd', 'e'].slice(0, size);
          const swimmers = designs * williamsSquare(size).length;
          const participants = Array.from({ length: swimmers }, (_, k) => `P${k}`);
          const { runs, says } = orderRuns({ participants, conditions, attempts, order: 'balanced', seed });
          expect(says).toEqual([]);
          for (let block = 1; block <= attempts; block++) {
            const rows = participants.map((swimmer) =>
              runs
                .filter(({ participant, attempt }) => participant === swimmer && attempt === block)
                .map(({ condition }) => condition),
            );
            for (let place = 0; place < size; place++)
              expect(new Set(count(rows, (row) => row[place]!).values())).toEqual(new Set([swimmers / size]));
            const neighbours = count(rows.flatMap(pairsOf), (pair) => pair);
            expect(neighbours.size).toBe(size * (size - 1));
            expect(new Set(neighbours.values()).size).toBe(1);
          }
        },
      ),
      { numRuns: 30 },
    );
  });

  test('two conditions, two attempts: each swimmer swims them there and back', () => {
    const { runs } = orderRuns({
      participants: ['P01'],
      conditions: ['a', 'b'],
      attempts: 2,
      order: 'balanced',
      seed: 's',
    });
    const swum = runs.map(({ condition }) => condition).join('');
    expect(['abba', 'baab']).toContain(swum);
  });

  test('says when the swimmers are no multiple of the sequences', () => {
    const asked = { conditions: ['a', 'b', 'c'], attempts: 1, order: 'balanced', seed: 's' } as const;
    const participants = ['P01', 'P02', 'P03', 'P04', 'P05', 'P06', 'P07'];
    expect(orderRuns({ ...asked, participants: participants.slice(0, 6) }).says).toEqual([]);
    expect(orderRuns({ ...asked, participants }).says).toEqual([
      '3 conditions take 6 sequences, and 7 swimmers are no multiple of 6: the balance is incomplete. 5 more swimmers would complete it.',
    ]);
    expect(orderRuns({ ...asked, participants, conditions: ['a'] }).says).toHaveLength(1);
  });

  test('a first square of an odd design is balanced over places already', () => {
    const { runs } = orderRuns({
      participants: ['P01', 'P02', 'P03'],
      conditions: ['a', 'b', 'c'],
      attempts: 1,
      order: 'balanced',
      seed: 'x',
    });
    for (let round = 1; round <= 3; round++)
      expect(
        runs
          .filter((run) => run.round === round)
          .map(({ condition }) => condition)
          .toSorted(),
      ).toEqual(['a', 'b', 'c']);
  });
});
