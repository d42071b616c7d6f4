/** A calibration of the bench laid over a day, in the shape that forces and budgets read. */
import { describe, expect, test } from 'vitest';
import { calibrationFrom } from '../../../core/day/overlay.ts';
import { assessCalibration, type CalibrationAssessment } from '../../../core/sensor/metrology.ts';
import { chooseCalibration } from '../../../core/sensor/choice.ts';

const STEPS = [0, 2, 4, 6, 8, 10, 10, 8, 6, 4, 2, 0];

function made(sensitivity: number, sharedKpa: number, scale: number): CalibrationAssessment {
  const points = STEPS.map((appliedKpa, k) => ({
    appliedKpa,
    raw: 8000 + sensitivity * appliedKpa + (k % 2 === 0 ? 6 : -6),
    direction: k < 6 ? ('up' as const) : ('down' as const),
    run: 1,
    setAside: null,
  }));
  return assessCalibration(points, 12, { sharedKpa, scale, perPointKpa: 0 })!;
}

function lineOf({ zero, sensitivity, residualSd, reference }: CalibrationAssessment) {
  return {
    interceptRaw: zero.value,
    interceptU: zero.u,
    sensitivityRawPerKpa: sensitivity.value,
    sensitivityU: sensitivity.u,
    referenceU: reference.scale * sensitivity.value,
    residualSdKpa: residualSd!.kpa,
  };
}

describe('correlation of zero and sensitivity', () => {
  test('the reference’s own parts are uncorrelated and so make it smaller (JCGM 100 H.3.6, by hand)', () => {
    const plain = made(600, 0, 0);
    const known = made(600, 0.05, 0.01);
    const { line } = plain;
    const [va, vs] = [line.interceptU! ** 2, line.slopeU! ** 2];
    const covariance = line.correlation! * line.interceptU! * line.slopeU!;
    const expected =
      covariance / Math.sqrt((va + (line.slope * 0.05) ** 2) * (vs + (line.slope * 0.01) ** 2));
    expect(calibrationFrom(lineOf(plain), [plain], 0).line.correlation).toBeCloseTo(line.correlation!, 12);
    expect(calibrationFrom(lineOf(known), [known], 0).line.correlation).toBeCloseTo(expected, 12);
    expect(Math.abs(expected)).toBeLessThan(0.5 * Math.abs(line.correlation!));
  });

  test('between two: of two alike halfway it is that of each, for independent fits weigh alike', () => {
    const one = made(600, 0, 0);
    const candidate = (id: string, atMs: number) => ({
      id,
      label: id,
      atMs,
      verdict: 'accepted' as const,
      day: null,
      ...lineOf(one),
    });
    const trial = { day: 'd', dayStartMs: 40, dayEndMs: 60, atMs: 50 };
    const { line } = chooseCalibration('interpolated', trial, [candidate('a', 0), candidate('b', 100)]);
    const laid = calibrationFrom(line!, [one, one], 0.5);
    expect(laid.line.correlation).toBeCloseTo(one.correlation!, 12);
    expect(laid.sensitivityU).toBeCloseTo(one.sensitivity.u! / Math.SQRT2, 12);
    expect(calibrationFrom({ ...line!, sensitivityU: null }, [one, one], 0.5).line.correlation).toBeNull();
  });
});
