/**
 * When a camera's clock is doubtful or unchecked, and how uncertain its line is at a mark. The expected values follow
 * from the words of formats.md (sync.csv; section 2, uncertainties), worked out here by hand.
 */
import { describe, expect, test } from 'vitest';
import { clockDoubt, clockLineUS } from '../../../core/clock/doubt.ts';

const STEPS = { frameStepS: 0.02, sampleStepS: 0.002 };
const pairs = (...times: readonly (readonly [traceS: number, videoS: number])[]) =>
  times.map(([traceS, videoS]) => ({ traceS, videoS }));

describe('doubt', () => {
  test('three moments on one line are good', () =>
    expect(clockDoubt(pairs([1, 0], [6, 5], [11, 10]), STEPS)).toMatchObject({
      doubtful: false,
      unchecked: false,
    }));

  test('one of two moments moved by a second: the rate of 1.2 is far beyond 5e-4 + 3 u(rate)', () =>
    expect(clockDoubt(pairs([1, 0], [7, 5]), STEPS).doubtful).toBe(true));

  test('the residual’s limit is half the sum of both steps, 11 ms', () => {
    // Residuals of (0, h, 0) at 0, 5, 10 s about their line: −h/3, 2h/3, −h/3; root mean square h·√2/3.
    const bent = (rms: number) => pairs([1, 0], [6 + (rms * 3) / Math.SQRT2, 5], [11, 10]);
    expect(clockDoubt(bent(0.0109), STEPS).doubtful).toBe(false);
    expect(clockDoubt(bent(0.0111), STEPS).doubtful).toBe(true);
  });

  test('the rate’s limit widens where the moments lie near one another', () => {
    // u(rate) = √((0.02² + 0.002²)/12) / √(2·5²) over 10 s: limit 5e-4 + 3·8.205e-4.
    const limit = 5e-4 + (3 * Math.hypot(0.02, 0.002)) / Math.sqrt(12) / Math.sqrt(50);
    const off = (rate: number) => pairs([0, 0], [10 * rate, 10]);
    expect(clockDoubt(off(1 + limit * 0.99), STEPS).doubtful).toBe(false);
    expect(clockDoubt(off(1 + limit * 1.01), STEPS).doubtful).toBe(true);
    expect(clockDoubt(off(1 - limit * 1.01), STEPS).doubtful).toBe(true);
  });

  test('moments at one video time that differ by more than both steps, 22 ms', () => {
    expect(clockDoubt(pairs([1, 3], [1.0215, 3]), STEPS)).toMatchObject({ doubtful: false, unchecked: true });
    expect(clockDoubt(pairs([1, 3], [1.0225, 3]), STEPS)).toMatchObject({ doubtful: true, unchecked: true });
  });

  test('one moment leaves the rate unchecked; none says nothing', () => {
    expect(clockDoubt(pairs([1, 0]), STEPS)).toMatchObject({ doubtful: false, unchecked: true });
    expect(clockDoubt([], STEPS)).toMatchObject({ doubtful: false, unchecked: false });
  });

  test('without a step only what can be computed is judged', () =>
    expect(clockDoubt(pairs([1, 0], [9, 5]), { ...STEPS, frameStepS: null })).toMatchObject({
      doubtful: false,
      unchecked: false,
    }));
});

describe('the line at a mark', () => {
  const pairU = Math.hypot(0.02, 0.002) / Math.sqrt(12);

  test('u_pair·√(1/n + (x − x̄)²/Σ(x − x̄)²)', () => {
    const own = pairs([1, 0], [6, 5], [11, 10]);
    expect(clockLineUS(own, 8, STEPS)).toBeCloseTo(pairU * Math.sqrt(1 / 3 + 9 / 50), 15);
    expect(clockLineUS(own, 5, STEPS)).toBeCloseTo(pairU / Math.sqrt(3), 15);
  });

  test('u_pair/√n where the pairs lie at one time', () => {
    expect(clockLineUS(pairs([1, 3]), 50, STEPS)).toBeCloseTo(pairU, 15);
    expect(clockLineUS(pairs([1, 3], [1.01, 3]), 50, STEPS)).toBeCloseTo(pairU / Math.SQRT2, 15);
  });

  test('is not known without pairs or a step', () => {
    expect(clockLineUS([], 1, STEPS)).toBeNull();
    expect(clockLineUS(pairs([1, 0]), 1, { ...STEPS, sampleStepS: null })).toBeNull();
  });
});
