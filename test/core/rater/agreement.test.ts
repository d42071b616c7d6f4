/** Laws of the measures of agreement, and the cases in which there is none. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { intraclass } from '../../../core/rater/agreement.ts';
import { clusteredAgreement } from '../../../core/rater/clustered.ts';
import { crossTable, kappaOf } from '../../../core/rater/kappa.ts';
import type { Outcome } from '../../../core/base/refusal.ts';

function value<T>(outcome: Outcome<T, { readonly says: string }>): T {
  if (!outcome.ok) throw new Error(outcome.error.says);
  return outcome.value;
}
function code<T, C>(outcome: Outcome<T, { readonly code: C }>): C | null {
  return outcome.ok ? null : outcome.error.code;
}

const number = fc.double({ min: -1e3, max: 1e3, noNaN: true, noDefaultInfinity: true });
const swimmer = fc.constantFrom('P1', 'P2', 'P3', 'P4');
const pairs = fc.array(fc.record({ swimmer, first: number, second: number }), {
  minLength: 2,
  maxLength: 40,
});

describe('limits of agreement', () => {
  test('a shift of one rater moves bias and limits alike and leaves the scatter', () => {
    fc.assert(
      fc.property(pairs, number, (rated, shift) => {
        const before = value(clusteredAgreement(rated));
        const after = value(
          clusteredAgreement(rated.map((pair) => ({ ...pair, second: pair.second + shift }))),
        );
        expect(after.bias).toBeCloseTo(before.bias + shift, 6);
        expect(after.agreement.lower).toBeCloseTo(before.agreement.lower + shift, 6);
        expect(after.sd).toBeCloseTo(before.sd, 6);
      }),
    );
  });

  test('changing over the raters changes the signs', () => {
    fc.assert(
      fc.property(pairs, (rated) => {
        const one = value(clusteredAgreement(rated));
        const other = value(
          clusteredAgreement(
            rated.map(({ first, second, ...own }) => ({ ...own, first: second, second: first })),
          ),
        );
        expect(other.bias).toBeCloseTo(-one.bias, 9);
        expect(other.agreement.lower).toBeCloseTo(-one.agreement.upper, 6);
        expect(other.typicalError).toBeCloseTo(one.typicalError, 9);
      }),
    );
  });

  test('without two pairs there is a reason', () => {
    expect(code(clusteredAgreement([]))).toBe('too_few');
    const one = clusteredAgreement([{ swimmer: 'P1', first: 1, second: 2 }]);
    expect(one.ok ? '' : one.error.says).toBe(
      'Agreement needs at least two values marked by both raters; there is one.',
    );
  });
});

describe('intraclass correlation', () => {
  const ratings = fc.integer({ min: 2, max: 4 }).chain((raters) =>
    fc.array(fc.array(fc.integer({ min: 0, max: 50 }), { minLength: raters, maxLength: raters }), {
      minLength: 2,
      maxLength: 20,
    }),
  );

  test('values lie within their limits, and a scale changes nothing', () => {
    fc.assert(
      fc.property(ratings, (rows) => {
        const outcome = intraclass(rows);
        if (!outcome.ok) {
          expect(outcome.error.code).toBe('no_variation');
          return;
        }
        for (const icc of ['icc21', 'icc31'] as const) {
          const { value: middle, limits } = outcome.value[icc];
          expect(Number.isFinite(middle)).toBe(true);
          if (limits === null) continue;
          expect(limits.lower).toBeLessThanOrEqual(middle);
          expect(limits.upper).toBeGreaterThanOrEqual(middle);
        }
        // Where subjects differ more than ratings of one subject do, limits are never missing.
        if (outcome.value.icc21.value > 0) expect(outcome.value.icc21.limits).not.toBeNull();
        const scaled = value(intraclass(rows.map((row) => row.map((rating) => 1000 + 3 * rating))));
        expect(scaled.icc21.value).toBeCloseTo(outcome.value.icc21.value, 9);
        expect(scaled.icc31.value).toBeCloseTo(outcome.value.icc31.value, 9);
      }),
    );
  });

  test('raters who agree but for a shift: ICC(3,1) is 1, ICC(2,1) is less', () => {
    const { icc21, icc31 } = value(intraclass([1, 2, 3, 4, 5].map((time) => [time, time + 2])));
    expect(icc31).toEqual({ value: 1, limits: { lower: 1, upper: 1 } });
    expect(icc21.value).toBeLessThan(0.7);
    expect(icc21.limits!.lower).toBeLessThan(icc21.value);
  });

  test('raters who agree wholly', () => {
    const { icc21 } = value(intraclass([1, 2, 4].map((time) => [time, time])));
    expect(icc21).toEqual({ value: 1, limits: { lower: 1, upper: 1 } });
  });

  test('without spread, and with too few, there is a reason; uneven rows are a bug', () => {
    expect(
      code(
        intraclass([
          [3, 3],
          [3, 3],
        ]),
      ),
    ).toBe('no_variation');
    expect(
      code(
        intraclass([
          [5, 32],
          [32, 5],
        ]),
      ),
    ).toBe('no_variation');
    expect(code(intraclass([[3, 4]]))).toBe('too_few');
    expect(() => intraclass([[1, 2], [1]])).toThrow(RangeError);
  });
});

describe('kappa', () => {
  const POSITIONS = ['above', 'level', 'below'] as const;
  const position = fc.constantFrom(...POSITIONS);
  const judged = fc.array(fc.tuple(position, position), { minLength: 1, maxLength: 40 });

  test('does not exceed 1, is 1 only where all agree, and does not mind who is first', () => {
    fc.assert(
      fc.property(judged, fc.constantFrom('none', 'linear', 'quadratic'), (rated, weights) => {
        const outcome = kappaOf(crossTable(rated, POSITIONS), weights);
        const allAgree = rated.every(([one, other]) => one === other);
        if (!outcome.ok) {
          expect(outcome.error.code).toBe('one_category');
          expect(new Set(rated.flat()).size).toBe(1);
          return;
        }
        const { value: kappa, limits, u } = outcome.value;
        if (allAgree) {
          expect(outcome.value).toMatchObject({ value: 1, u: null, limits: null });
          return;
        }
        expect(kappa).toBeLessThanOrEqual(1 + 1e-12);
        expect(kappa).toBeLessThan(1);
        expect(Number.isFinite(u)).toBe(true);
        expect(limits!.lower).toBeGreaterThanOrEqual(-1);
        expect(limits!.upper).toBeLessThanOrEqual(1);
        const turned = value(
          kappaOf(
            crossTable(
              rated.map(([one, other]) => [other, one] as const),
              POSITIONS,
            ),
            weights,
          ),
        );
        expect(turned.value).toBeCloseTo(kappa, 12);
        // Where the variance is 0, dust is left of it, and the root of dust is not as small.
        expect(turned.u! ** 2).toBeCloseTo(u! ** 2, 12);
      }),
    );
  });

  test('with two categories weights change nothing', () => {
    const table = [
      [20, 5],
      [10, 15],
    ];
    const [plain, quadratic] = [value(kappaOf(table, 'none')), value(kappaOf(table, 'quadratic'))];
    expect(plain.value).toBeCloseTo(0.4, 12);
    expect(quadratic.value).toBeCloseTo(plain.value, 12);
    expect(quadratic.u!).toBeCloseTo(plain.u!, 12);
  });

  test('without a pair there is a reason', () => {
    expect(code(kappaOf(crossTable([], POSITIONS), 'linear'))).toBe('too_few');
    expect(code(kappaOf(crossTable([['level', 'level']], POSITIONS), 'none'))).toBe('one_category');
  });
});
