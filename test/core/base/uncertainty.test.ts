/** Parts put together. Source: JCGM 100:2008, 4.3.7 (a rectangular distribution), 5.1.2 (independent parts). */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { markU, rootSumSquares } from '../../../core/base/uncertainty.ts';

const u = fc.double({ min: 1e-6, max: 1e3, noNaN: true });

test('independent parts add as squares; one that is not known makes the whole unknown', () => {
  expect(rootSumSquares([3, 4])).toBe(5);
  expect(rootSumSquares([])).toBe(0);
  expect(rootSumSquares([3, null])).toBeNull();
  fc.assert(
    fc.property(fc.array(u, { minLength: 1, maxLength: 8 }), (parts) => {
      const whole = rootSumSquares(parts)!;
      for (const part of parts) expect(whole).toBeGreaterThanOrEqual(part * (1 - 1e-12));
      expect(whole).toBeLessThanOrEqual(parts.reduce((sum, part) => sum + part, 0) * (1 + 1e-12));
    }),
  );
});

test('a reading to the nearest step is uniform over it: half-width step/2, so step/(2√3)', () => {
  fc.assert(
    fc.property(u, (step) => {
      expect(markU(step, 0)).toBeCloseTo(step / 2 / Math.sqrt(3), 9);
    }),
  );
  expect(markU(0.02, 0.01)).toBeCloseTo(Math.hypot(0.02 / Math.sqrt(12), 0.01), 15);
  expect(markU(null, 0.01)).toBeNull();
});
