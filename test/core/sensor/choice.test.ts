/** Which calibration a trial uses. */
import { describe, expect, test } from 'vitest';
import { chooseCalibration, type CalibrationCandidate } from '../../../core/sensor/choice.ts';

describe('which calibration a trial uses', () => {
  const trial = { day: 'd1', dayStartMs: 1000, dayEndMs: 1100, atMs: 1050 };
  const at = (id: string, atMs: number, more: Partial<CalibrationCandidate> = {}): CalibrationCandidate => ({
    id,
    label: `at ${atMs}`,
    atMs,
    verdict: 'accepted',
    day: null,
    interceptRaw: 8000 + atMs,
    interceptU: 4,
    sensitivityRawPerKpa: 600 + atMs / 100,
    sensitivityU: 1,
    referenceU: 0,
    residualSdKpa: 0.01,
    ...more,
  });
  const all = [
    at('late', 1250),
    at('own', 1010, { day: 'd1' }),
    at('early', 850),
    at('bad', 1040, { verdict: 'rejected' }),
    at('other', 900, { day: 'd0', verdict: 'remark' }),
    at('after', 1200),
  ];

  test('day: its own, whatever its verdict, and says which verdict that was', () => {
    expect(chooseCalibration('day', trial, all)).toMatchObject({
      from: ['own'],
      line: { interceptRaw: 9010 },
    });
    const rejected = chooseCalibration('day', trial, [at('own', 1, { day: 'd1', verdict: 'rejected' })]);
    expect(rejected.from).toEqual(['own']);
    expect(rejected.says).toContain('rejected');
    expect(chooseCalibration('day', trial, [at('x', 5)])).toMatchObject({ line: null, from: [] });
  });

  test('latest: the last accepted before the trial, never a rejected one', () => {
    expect(chooseCalibration('latest', trial, all).from).toEqual(['own']);
    expect(chooseCalibration('latest', { ...trial, atMs: 1005 }, all)).toMatchObject({ from: ['other'] });
    expect(chooseCalibration('latest', { ...trial, atMs: 1 }, all)).toMatchObject({ line: null, from: [] });
    expect(chooseCalibration('latest', trial, []).says).toContain('no accepted calibration');
  });

  test('interpolated: straight in time between before and after the day', () => {
    const chosen = chooseCalibration('interpolated', trial, all);
    expect(chosen.from).toEqual(['other', 'after']);
    expect(chosen.line).toMatchObject({
      interceptRaw: 9050,
      sensitivityRawPerKpa: 610.5,
      referenceU: 0,
      residualSdKpa: 0.01,
    });
    // Halfway: two independent fits weigh a half each, and the unknown way is |Δ|/(2√3) (JCGM 100 4.3.7).
    expect(chosen.line!.sensitivityU).toBeCloseTo(Math.hypot(0.5, 0.5, 3 / (2 * Math.sqrt(3))), 12);
    expect(chosen.line!.interceptU).toBeCloseTo(Math.hypot(2, 2, 300 / (2 * Math.sqrt(3))), 9);
    expect(chosen.says).toContain('50 % of the way');
    expect(chosen.says).toContain('known to 0.18 % (standard uncertainty): 0.12 % from the two calibrations');
    const unknown = chooseCalibration('interpolated', trial, [
      at('a', 900, { sensitivityU: null }),
      at('b', 1200),
    ]);
    expect(unknown.line).toMatchObject({ sensitivityU: null, residualSdKpa: 0.01 });
    expect(unknown.says).toContain('is not known, for one of them does not say');
    expect(chooseCalibration('interpolated', trial, all.slice(1, 5)).says).toContain('after day d1');
    expect(chooseCalibration('interpolated', trial, [at('b', 1200)]).says).toContain('before day d1');
    expect(chooseCalibration('interpolated', trial, [])).toMatchObject({ line: null });
  });

  test('between two: less known in the middle by the way, at the ends as the calibration there', () => {
    const [a, b] = [at('a', 900), at('b', 1200)];
    const u = (atMs: number, one = a, other = b) =>
      chooseCalibration('interpolated', { ...trial, atMs }, [one, other]).line!.sensitivityU!;
    expect(u(900)).toBeCloseTo(1, 12);
    expect(u(1200)).toBeCloseTo(1, 12);
    const most = 3 / (2 * Math.sqrt(3));
    for (let k = 0; k <= 10; k++) {
      const p = k / 10;
      const fits = Math.hypot(1 - p, p);
      expect(u(900 + 300 * p)).toBeGreaterThanOrEqual(fits - 1e-12);
      expect(u(900 + 300 * p)).toBeLessThanOrEqual(Math.hypot(fits, most) + 1e-12);
    }
    // One reference for both: its scale does not average.
    const [c, d] = [at('c', 900, { referenceU: 1 }), at('d', 1200, { referenceU: 1 })];
    expect(u(1050, c, d)).toBeCloseTo(Math.hypot(1, most), 12);
  });
});
