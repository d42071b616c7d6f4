/** Laws of sharing trials out; that a drawn order is fair and the same everywhere: test/core/base/drawnorder.test.ts. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { shareOut, type QueueWish } from '../../../core/rater/queue.ts';

const wish = fc.record({
  trials: fc.uniqueArray(fc.stringMatching(/^[A-Z]\d{1,3}$/), { maxLength: 60 }),
  raters: fc.uniqueArray(fc.constantFrom('R1', 'R2', 'R3', 'R4', 'R5'), { minLength: 2 }),
  sharePct: fc.integer({ min: 0, max: 100 }),
  seed: fc.string({ minLength: 1, maxLength: 12 }),
});
const shared = (of: QueueWish) => {
  const outcome = shareOut(of);
  if (!outcome.ok) throw new Error(outcome.error.says);
  return outcome.value;
};
const spread = (counts: readonly number[]) => Math.max(...counts) - Math.min(...counts);

describe('sharing out', () => {
  it('gives every trial to one rater, each as many as another but for one', () => {
    fc.assert(
      fc.property(wish, (of) => {
        const out = shared(of);
        expect(out.map(({ trial }) => trial).toSorted()).toEqual(of.trials.toSorted());
        expect(
          spread(of.raters.map((rater) => out.filter((one) => one.rater === rater).length)),
        ).toBeLessThanOrEqual(1);
      }),
    );
  });

  it('draws the stated share, rounded up, for a rater who is another than the first', () => {
    fc.assert(
      fc.property(wish, (of) => {
        const twice = shared(of).filter(({ second }) => second !== null);
        // In whole numbers: n·p/100 rounded up.
        expect(twice).toHaveLength(Math.floor((of.trials.length * of.sharePct + 99) / 100));
        for (const { rater, second } of twice) {
          expect(second).not.toBe(rater);
          expect(of.raters).toContain(second);
        }
      }),
    );
  });

  it('does not hang on the order of the trials, but on the seed', () => {
    fc.assert(
      fc.property(wish, (of) => {
        expect(shared({ ...of, trials: of.trials.toReversed() })).toEqual(shared(of));
      }),
    );
    const trials = Array.from({ length: 40 }, (_, k) => `T${k}`);
    const of = (seed: string) => shared({ trials, raters: ['R1', 'R2'], sharePct: 25, seed });
    expect(of('one')).not.toEqual(of('two'));
    const drawn = (seed: string) => of(seed).flatMap(({ trial, second }) => (second === null ? [] : [trial]));
    expect(drawn('one').toSorted()).not.toEqual(drawn('two').toSorted());
  });

  it('refuses what cannot be shared, with what to do', () => {
    const of = (more: Partial<QueueWish>) =>
      shareOut({ trials: ['T1'], raters: ['R1', 'R2'], sharePct: 20, seed: 's', ...more });
    for (const [more, says] of [
      [{ raters: [] }, /No rater/],
      [{ raters: ['R1', 'R1'] }, /named twice/],
      [{ raters: ['R1'] }, /second rater/],
      [{ sharePct: 101 }, /no share/],
      [{ sharePct: NaN }, /no share/],
    ] as const)
      expect(of(more)).toMatchObject({ ok: false, error: { says: expect.stringMatching(says) as string } });
    expect(of({ raters: ['R1'], sharePct: 0 }).ok).toBe(true);
  });
});
