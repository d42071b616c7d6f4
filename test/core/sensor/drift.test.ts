/** The history of a sensor's sensitivity, and its drift. */
import { describe, expect, test } from 'vitest';
import { sensitivityHistory } from '../../../core/sensor/drift.ts';

describe('history of the sensitivity', () => {
  const YEAR = 365.25 * 86_400_000;
  const past = (...values: (readonly [number, number])[]) =>
    values.map(([year, sensitivity], k) => ({
      id: `c${k}`,
      atMs: year * YEAR,
      sensitivity,
      sensitivityU: 2,
    }));

  test('mean, limits, in or out, drift per year', () => {
    const history = sensitivityHistory(past([2, 612], [0, 600], [1, 606]), 1)!;
    expect(history).toMatchObject({ meanRawPerKpa: 606, lowerRawPerKpa: 599.94, upperRawPerKpa: 612.06 });
    expect(history.entries.map(({ id, within }) => [id, within])).toEqual([
      ['c1', true],
      ['c2', true],
      ['c0', true],
    ]);
    expect(history.driftPctPerYear).toBeCloseTo(100 * (6 / 606), 10);
    expect(history.driftUPctPerYear).toBeCloseTo(0, 9);
    expect(
      sensitivityHistory(past([0, 600], [1, 606], [2, 612]), 0.9)!.entries.map(({ within }) => within),
    ).toEqual([false, true, false]);
  });

  test('the drift’s uncertainty is expanded by t on n − 2: 12.706 for three, 4.303 for four (table of Student’s t)', () => {
    const three = sensitivityHistory(past([0, 600], [1, 604], [2, 603]), 2)!;
    expect(three.driftExpandedPctPerYear! / three.driftUPctPerYear!).toBeCloseTo(12.706, 3);
    const four = sensitivityHistory(past([0, 600], [1, 604], [2, 603], [3, 607]), 2)!;
    expect(four.driftExpandedPctPerYear! / four.driftUPctPerYear!).toBeCloseTo(4.303, 3);
  });

  test('four calibrations within minutes tell nothing of a year', () => {
    const minute = 1 / (365.25 * 24 * 60);
    const close = sensitivityHistory(past([0, 600], [minute, 612], [2 * minute, 603], [3 * minute, 608]), 3)!;
    expect(close).toMatchObject({ driftPctPerYear: null, driftUPctPerYear: null });
    expect(close.says).toContain('too close together for a drift per year');
    expect(sensitivityHistory(past([0, 600], [31 / 365.25, 601]), 3)!.driftPctPerYear).not.toBeNull();
  });

  test('says when a drifting sensor reaches its limit, and when drift cannot be told from none', () => {
    expect(sensitivityHistory(past([0, 600], [1, 603.1], [2, 605.9], [3, 609]), 2)!.says).toMatch(
      /reaches its limit about 2\.\d years/,
    );
    expect(sensitivityHistory(past([0, 600], [1, 612], [2, 624], [3, 636]), 1)!.says).toContain(
      'has reached its limit',
    );
    expect(sensitivityHistory(past([0, 600], [1, 604], [2, 599], [3, 601]), 1)!.says).toContain(
      'cannot be told from none',
    );
  });

  test('two calibrations take their own uncertainties; one, or one moment, gives no drift; none is null', () => {
    const two = sensitivityHistory(past([0, 600], [2, 606]), 1)!;
    expect(two.driftUPctPerYear).toBeCloseTo((100 * Math.hypot(2, 2)) / 603 / 2, 10);
    expect(sensitivityHistory(past([0, 600]), 1)).toMatchObject({ driftPctPerYear: null });
    expect(sensitivityHistory(past([1, 600], [1, 606]), 1)!.says).toContain('within 30 days');
    expect(sensitivityHistory([], 1)).toBeNull();
  });
});
