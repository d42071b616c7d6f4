/** How many swimmers: laws and refusals. Numbers are checked in test/reference/power.test.ts. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { powerCurve, powerOf, swimmersFor } from '../../../core/protocol/power.ts';
import type { PlannedComparison } from '../../../core/protocol/content.ts';

const comparison: fc.Arbitrary<PlannedComparison> = fc.record({
  kind: fc.constantFrom('two_groups', 'paired'),
  quantity: fc.constant(''),
  first: fc.integer({ min: 2, max: 200 }),
  second: fc.integer({ min: 2, max: 200 }),
  difference: fc.double({ min: 0.01, max: 3, noNaN: true }),
  sd: fc.double({ min: 0.5, max: 2, noNaN: true }),
  alpha: fc.double({ min: 0.001, max: 0.2, noNaN: true }),
  sides: fc.constantFrom('two', 'one'),
});
/** What the library's rounding may do. */
const DUST = 4e-8;

function power(planned: PlannedComparison): number {
  const found = powerOf(planned);
  return found.ok ? found.value.power : Number.NaN;
}

describe('power', () => {
  test('lies between alpha and 1, and rises with the difference and the number of swimmers', () => {
    fc.assert(
      fc.property(comparison, (planned) => {
        const here = power(planned);
        fc.pre(!Number.isNaN(here));
        expect(here).toBeGreaterThan(planned.alpha - DUST);
        expect(here).toBeLessThanOrEqual(1);
        expect(power({ ...planned, difference: planned.difference * 1.2 })).toBeGreaterThan(here - DUST);
        expect(power({ ...planned, first: planned.first + 1 })).toBeGreaterThan(here - DUST);
      }),
      { numRuns: 60 },
    );
  });

  test('does not ask which group is first, nor for the unit', () => {
    fc.assert(
      fc.property(comparison, fc.double({ min: 0.001, max: 1000, noNaN: true }), (planned, unit) => {
        const other = { ...planned, difference: planned.difference * unit, sd: planned.sd * unit };
        if (planned.kind === 'two_groups') [other.first, other.second] = [planned.second, planned.first];
        expect(power(other)).toBeCloseTo(power(planned), 7);
      }),
      { numRuns: 60 },
    );
  });
});

describe('how many swimmers', () => {
  test('is the first size of the curve with that power', () => {
    fc.assert(
      fc.property(comparison, fc.double({ min: 0.3, max: 0.99, noNaN: true }), (planned, wanted) => {
        const found = swimmersFor(planned, wanted);
        if (!found.ok) {
          expect(found.error.code).toBe('too_many_swimmers');
          return;
        }
        const { swimmers } = found.value;
        const [before, here] = powerCurve(planned, [Math.max(2, swimmers - 1), swimmers]);
        expect(here).toEqual({ size: swimmers, power: found.value.power });
        expect(here!.power!).toBeGreaterThanOrEqual(wanted);
        if (swimmers > 2) expect(before!.power ?? 0).toBeLessThan(wanted);
      }),
      { numRuns: 40 },
    );
  });

  const planned: PlannedComparison = {
    kind: 'two_groups',
    quantity: '',
    first: 8,
    second: 8,
    difference: 0.001,
    sd: 1,
    alpha: 0.05,
    sides: 'two',
  };

  test('says when a thousand do not suffice, and what to do', () =>
    expect(swimmersFor(planned, 0.8)).toMatchObject({
      ok: false,
      error: { code: 'too_many_swimmers', says: expect.stringContaining('1000 swimmers per group') },
    }));

  test.each([0, 1, -1, Number.NaN])('a wanted power of %f is refused', (wanted) =>
    expect(swimmersFor(planned, wanted)).toMatchObject({ ok: false, error: { code: 'unusable_power' } }),
  );

  test.each([{ first: 1 }, { sd: 0 }, { difference: -1 }, { alpha: 0.5 }, { difference: Number.NaN }])(
    '%o is refused',
    (part) =>
      expect(powerOf({ ...planned, ...part })).toMatchObject({
        ok: false,
        error: { code: 'unusable_comparison' },
      }),
  );

  test('the curve has a hole where power is not computed', () =>
    expect(powerCurve({ ...planned, kind: 'paired', difference: 20 }, [2])).toEqual([
      { size: 2, power: null },
    ]));
});
