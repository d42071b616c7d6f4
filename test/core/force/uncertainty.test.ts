/** The one formula of a force's uncertainty, worked out from the words of formats.md section 2. */
import { describe, expect, test } from 'vitest';
import {
  type ForceParts,
  forceSpread,
  forceU,
  impulseU,
  tapUKpa,
  zeroUKpa,
} from '../../../core/force/uncertainty.ts';
import { forceSymmetry } from '../../../core/force/force.ts';
import { NO_ZEROS, zeroLine } from '../../../core/sensor/calibration.ts';

const PARTS: ForceParts = {
  area: 3 / 150,
  scale: 2 / 100,
  residualKpa: 0.05,
  zeroKpa: 0.03,
  tapKpa: 0.056,
  areaCm2: 150,
};

describe('a force', () => {
  const inFull = (0.1 * 150) ** 2 * (0.05 ** 2 + 0.03 ** 2 + 0.056 ** 2);
  const inProportion = 0.02 ** 2 + 0.02 ** 2;

  test('F²((u_A/A)² + (u_S/S)²) + (0.1 A)²(residual² + zero² + tap²), whatever its sign', () => {
    const wanted = Math.sqrt(60 ** 2 * inProportion + inFull);
    expect(forceU(60, forceSpread(PARTS))).toBeCloseTo(wanted, 12);
    expect(forceU(-60, forceSpread(PARTS))).toBeCloseTo(wanted, 12);
  });

  test('an impulse carries what is in full over its duration', () => {
    const wanted = Math.sqrt(20 ** 2 * inProportion + 0.4 ** 2 * inFull);
    expect(impulseU(20, 0.4, forceSpread(PARTS))).toBeCloseTo(wanted, 12);
  });

  test.each(['area', 'scale', 'residualKpa', 'zeroKpa'] as const)('is empty without %s', (part) => {
    const spread = forceSpread({ ...PARTS, [part]: null });
    expect([forceU(60, spread), impulseU(20, 0.4, spread)]).toEqual([null, null]);
  });
});

describe('the depth between the taps', () => {
  test('is rectangular: ρ·g·10 mm/√3, 9775 N/m³ where the water is not known', () => {
    const nowhere = { waterTemperatureC: null, latitudeDeg: null, altitudeM: null };
    expect(tapUKpa(10, nowhere)).toBeCloseTo(0.09775 / Math.sqrt(3), 14);
    expect(tapUKpa(20, nowhere)).toBeCloseTo(0.1955 / Math.sqrt(3), 14);
  });

  test('with the water of the day: 20 °C, 998.2067 kg/m³ (Tanaka 2001, table), 45°, 9.80619920 m/s² (GRS80)', () => {
    const pool = { waterTemperatureC: 20, latitudeDeg: 45, altitudeM: null };
    expect(tapUKpa(10, pool)).toBeCloseTo((998.2067 * 9.8061992 * 1e-5) / Math.sqrt(3), 7);
  });
});

describe('the zero', () => {
  const calibration = { interceptRaw: 900, sensitivityRawPerKpa: -100, referenceZeroUKpa: 0.02 };
  const of = (trial = NO_ZEROS, day = NO_ZEROS, limit: number | null = 0.15) =>
    zeroUKpa(zeroLine(trial, day, calibration), { trial, day }, calibration, limit);

  test('read twice: |shift|/(2√3), also of the day, also without a limit', () => {
    expect(of({ before: 1000, after: 1006 }, NO_ZEROS, null)).toBeCloseTo(0.06 / (2 * Math.sqrt(3)), 14);
    expect(of(NO_ZEROS, { before: 1000, after: 1012 })).toBeCloseTo(0.12 / (2 * Math.sqrt(3)), 14);
  });

  test('read once: the limit over √3, and not known without one', () => {
    expect(of({ before: 1000, after: null })).toBeCloseTo(0.15 / Math.sqrt(3), 14);
    expect(of(NO_ZEROS, { before: null, after: 1000 })).toBeCloseTo(0.15 / Math.sqrt(3), 14);
    expect(of({ before: 1000, after: null }, NO_ZEROS, null)).toBeNull();
    // The day's two readings say nothing of a trial that has one of its own.
    expect(of({ before: 1000, after: null }, { before: 1000, after: 1012 })).toBeCloseTo(
      0.15 / Math.sqrt(3),
      14,
    );
  });

  test('of the calibration: the reference’s zero beside it', () =>
    expect(of()).toBeCloseTo(Math.hypot(0.15 / Math.sqrt(3), 0.02), 14));
});

test('symmetry: 400/(R + L)²·√(L²u_R² + R²u_L²), as the partial derivatives of 200(R − L)/(R + L) give', () => {
  const found = forceSymmetry({ value: 40, u: 1 }, { value: 60, u: 2 })!;
  expect(found.value).toBeCloseTo(40, 12);
  // ∂/∂R = 400 L/(R + L)² = 1.6 %/N, ∂/∂L = −400 R/(R + L)² = −2.4 %/N.
  expect(found.u).toBeCloseTo(Math.hypot(1.6 * 2, 2.4 * 1), 12);
  expect(forceSymmetry({ value: 40, u: null }, { value: 60, u: 2 })!.u).toBeNull();
});
