/** The assessment of a calibration, its verdict, and what can be wrong with what is entered. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { calibrate } from '../../../core/sensor/calibration.ts';
import {
  runFaults,
  pointFaults,
  settingFaults,
  type BenchEntry,
  type BenchSetting,
} from '../../../core/sensor/entry.ts';
import { judgeBench } from '../../../core/sensor/verdict.ts';
import { BENCH_LIMIT_REASONS, DEFAULT_BENCH_LIMITS } from '../../../core/sensor/limits.ts';
import { assessCalibration, bandAt, pressureFromRaw } from '../../../core/sensor/metrology.ts';
import { EXACT, runs, STEPS } from './runs.ts';

const good = assessCalibration(runs(), 15, EXACT)!;

describe('assessment', () => {
  test('its line is that of core/calibration.ts', () => {
    const plain = calibrate(runs(), 15)!;
    expect(good.sensitivity.value).toBe(plain.sensitivityRawPerKpa);
    expect(good.sensitivity.u).toBeCloseTo(plain.sensitivityU!, 12);
    expect(good.zero.value).toBe(plain.interceptRaw);
    expect(good.residualSd!.kpa).toBe(plain.residualSdKpa);
  });

  test('independent non-linearity is never above the least-squares one, nor above the terminal-based', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 6, maxLength: 6 }), (bend) => {
        const points = STEPS.map((appliedKpa, k) => ({
          appliedKpa,
          raw: 8000 + 600 * appliedKpa + bend[k]!,
          direction: 'up' as const,
          run: 1,
          setAside: null,
        }));
        const assessed = assessCalibration(points, 15, EXACT)!;
        expect(assessed.nonlinearityPctFs!).toBeLessThanOrEqual(
          calibrate(points, 15)!.nonlinearityPctFs! + 1e-9,
        );
        expect(assessed.nonlinearityPctFs!).toBeLessThanOrEqual(assessed.terminalNonlinearityPctFs! + 1e-9);
        expect(assessed.terminalNonlinearityPctFs!).toBeLessThanOrEqual(
          2 * assessed.nonlinearityPctFs! + 1e-9,
        );
      }),
      { numRuns: 100 },
    );
  });

  test('a point set aside takes no part but stays, with its distance', () => {
    const bad = { appliedKpa: 7, raw: 20_000, direction: 'up' as const, run: 2, setAside: 'air in the tube' };
    const assessed = assessCalibration([...runs(), bad], 15, EXACT)!;
    expect(assessed.sensitivity).toEqual(good.sensitivity);
    expect(assessed.pointCount).toBe(24);
    expect(assessed.points.at(-1)).toMatchObject({ setAside: 'air in the tube' });
    expect(assessed.points.at(-1)!.residualKpa).toBeGreaterThan(10);
  });

  test('the shared part of the reference is in the zero whatever the number of points; the scale in the sensitivity', () => {
    const reference = { sharedKpa: 0.05, scale: 0.01, perPointKpa: 0 };
    for (const count of [1, 2]) {
      const assessed = assessCalibration(runs(600, count), 15, reference)!;
      expect(assessed.zero.u!).toBeGreaterThan(600 * 0.05);
      expect(assessed.sensitivity.u!).toBeGreaterThan(6);
      expect(Math.abs(assessed.correlation!)).toBeLessThan(Math.abs(good.correlation!));
    }
  });

  test('the reference’s part per point counts where the points scatter less, and gives two points an uncertainty', () => {
    const assessed = assessCalibration(runs(), 15, { ...EXACT, perPointKpa: 0.02 })!;
    expect(assessed.scatter).toEqual({ raw: expect.closeTo(12, 1), from: 'reference' });
    expect(assessed.sensitivity.degreesOfFreedom).toBeNull();
    expect(assessCalibration(runs(), 15, { ...EXACT, perPointKpa: 0.001 })!.scatter!.from).toBe('points');
    const two = [runs()[0]!, runs()[5]!];
    expect(assessCalibration(two, 15, EXACT)!.sensitivity.u).toBeNull();
    expect(assessCalibration(two, 15, { ...EXACT, perPointKpa: 0.01 })!.sensitivity.u).toBeGreaterThan(0);
  });

  test('read backward and forward: the pressure’s uncertainty is that of a reading over the sensitivity', () => {
    const reading = bandAt(good, 7.5, 'reading');
    const back = pressureFromRaw(good, reading.value);
    expect(back.value).toBeCloseTo(7.5, 10);
    expect(back.u!).toBeCloseTo(reading.u! / good.sensitivity.value, 12);
    expect(reading.u!).toBeGreaterThan(bandAt(good, 7.5, 'line').u!);
  });

  test('a shared offset of the reference passes whole into a pressure', () => {
    const assessed = assessCalibration(runs(), 15, { ...EXACT, sharedKpa: 1 })!;
    expect(pressureFromRaw(assessed, 12_000).u!).toBeCloseTo(1, 3);
  });

  test('depths set by hand a few millimetres apart are one pressure', () => {
    const points = runs().map((point, k) => ({ ...point, appliedKpa: point.appliedKpa + 0.01 * (k % 3) }));
    expect(assessCalibration(points, 15, EXACT)!.pressureCount).toBe(6);
  });

  test('what is not known is empty: no range, one run, no pressure from both sides', () => {
    expect(assessCalibration(runs(), null, EXACT)!).toMatchObject({
      nonlinearityPctFs: null,
      hysteresisPctFs: null,
    });
    expect(assessCalibration(runs(600, 1), 15, EXACT)!.repeatabilityPctFs).toBeNull();
    expect(assessCalibration(runs().slice(0, 6), 15, EXACT)!.hysteresisPctFs).toBeNull();
    expect(assessCalibration([], 15, EXACT)).toBeNull();
    expect(
      assessCalibration(
        runs(0).map((point) => ({ ...point, raw: 5 })),
        15,
        EXACT,
      ),
    ).toBeNull();
  });

  test('the behaviour does not depend on the raw unit or its sign', () => {
    const turned = assessCalibration(
      runs().map((point) => ({ ...point, raw: -3 * point.raw })),
      15,
      EXACT,
    )!;
    for (const name of [
      'terminalNonlinearityPctFs',
      'nonlinearityPctFs',
      'hysteresisPctFs',
      'repeatabilityPctFs',
    ] as const)
      expect(Math.abs(turned[name]!)).toBeCloseTo(Math.abs(good[name]!), 9);
  });
});

describe('verdict', () => {
  const judged = (...[assessment, limits, history, name]: Partial<Parameters<typeof judgeBench>>) =>
    judgeBench(
      assessment === undefined ? good : assessment,
      limits ?? DEFAULT_BENCH_LIMITS,
      history ?? null,
      name ?? null,
    );
  const finding = (verdict: ReturnType<typeof judgeBench>, limit: string) =>
    verdict.findings.find((found) => found.limit === limit)!;

  test('a good calibration is accepted, every limit with its value', () => {
    const verdict = judged(good, DEFAULT_BENCH_LIMITS, 601);
    expect(verdict.verdict).toBe('accepted');
    expect(verdict.findings.map(({ held }) => held)).toEqual(verdict.findings.map(() => 'yes'));
    expect(verdict.findings.map(({ limit }) => limit).toSorted()).toEqual(
      Object.keys(DEFAULT_BENCH_LIMITS).toSorted(),
    );
    expect(Object.values(BENCH_LIMIT_REASONS).every((reason) => reason.endsWith('.'))).toBe(true);
  });

  test('the uncertainty of the sensitivity is judged expanded: t(22) = 2.074 for 24 points (table of Student’s t)', () => {
    const { u, value } = good.sensitivity;
    expect(finding(judged(good), 'sensitivityExpandedPct').value! / ((100 * u!) / value)).toBeCloseTo(
      2.074,
      3,
    );
  });

  test('the first calibration of a sensor is not held against it', () => {
    const verdict = judged();
    expect(verdict.verdict).toBe('accepted');
    expect(finding(verdict, 'sensitivityChangePct').held).toBe('not_judged');
  });

  test.each([
    ['nonlinearityPctFs', 0.001],
    ['hysteresisPctFs', 0.01],
    ['repeatabilityPctFs', 0.01],
    ['residualSdKpa', 0.001],
    ['sensitivityExpandedPct', 0.01],
  ] as const)('%s broken rejects and says what to do', (limit, bound) => {
    const verdict = judged(good, { ...DEFAULT_BENCH_LIMITS, [limit]: bound });
    expect(verdict.verdict).toBe('rejected');
    expect(finding(verdict, limit)).toMatchObject({ held: 'no', bound });
    expect(finding(verdict, limit).says).toContain('more than the limit');
    expect(finding(verdict, limit).todo).not.toBeNull();
    expect(judged(good, { ...DEFAULT_BENCH_LIMITS, [limit]: null }).verdict).toBe('accepted');
  });

  test('a sensitivity that left its history either way, or reads backward, is rejected', () => {
    expect(judged(good, DEFAULT_BENCH_LIMITS, 580).verdict).toBe('rejected');
    expect(judged(good, DEFAULT_BENCH_LIMITS, 620).verdict).toBe('rejected');
    expect(judged(assessCalibration(runs(-600), 15, EXACT)).verdict).toBe('rejected');
    expect(judged(null)).toMatchObject({ verdict: 'rejected', findings: [{ limit: 'line', held: 'no' }] });
  });

  test('too little looked at, or a point set aside, leaves a remark', () => {
    const few = judged(assessCalibration(runs(600, 1).slice(0, 4), 15, EXACT));
    expect(few.verdict).toBe('remark');
    expect(finding(few, 'leastPoints')).toMatchObject({
      value: 4,
      bound: 10,
      held: 'no',
      todo: 'Add 6 more.',
    });
    expect(finding(few, 'upAndDown').held).toBe('no');
    const points = [...runs(), { ...runs()[0]!, setAside: 'typed twice' }];
    expect(judged(assessCalibration(points, 15, EXACT))).toMatchObject({ verdict: 'remark' });
    const rangeless = judged(assessCalibration(runs(), null, EXACT));
    expect(rangeless.verdict).toBe('remark');
    expect(finding(rangeless, 'hysteresisPctFs').says).toContain('range is not known');
  });
});

describe('what can be wrong with what is entered', () => {
  const setting: BenchSetting = {
    columnHeightM: 1.5,
    waterTemperatureC: 26,
    water: { densityKgM3: 996.78574, gravityMS2: 9.80665 },
    rawMin: 0,
    rawMax: 65_535,
    historyRawPerKpa: 600,
  };
  const entry = (applied: number, raw: number, more: Partial<BenchEntry> = {}): BenchEntry => ({
    applied,
    raw,
    appliedUnit: 'kPa',
    run: 1,
    setAside: null,
    ...more,
  });
  const codes = (faults: readonly { code: string; says: string; todo: string }[]) => {
    for (const { says, todo } of faults) expect([says, todo].every((text) => /[.?]$/.test(text))).toBe(true);
    return faults.map(({ code }) => code);
  };

  test('the setting', () => {
    expect(codes(settingFaults(setting))).toEqual([]);
    for (const waterTemperatureC of [-0.1, 40.1, 78])
      expect(codes(settingFaults({ ...setting, waterTemperatureC }))).toEqual(['temperature_outside']);
    expect(codes(settingFaults({ ...setting, columnHeightM: 0 }))).toEqual(['column_height_wrong']);
  });

  test('a point', () => {
    const depth = (m: number) => entry(m, 9000, { appliedUnit: 'm_water' });
    expect(codes(pointFaults(depth(1.5), setting))).toEqual([]);
    expect(codes(pointFaults(depth(1.51), setting))).toEqual(['depth_outside']);
    expect(codes(pointFaults(depth(-0.1), setting))).toEqual(['depth_outside']);
    expect(codes(pointFaults(depth(1), { ...setting, water: null }))).toEqual(['water_unknown']);
    expect(codes(pointFaults(entry(5, 65_535), setting))).toEqual(['saturated']);
    expect(codes(pointFaults(entry(5, 0), setting))).toEqual(['saturated']);
    expect(codes(pointFaults(entry(5, 65_536), setting))).toEqual(['raw_outside']);
    expect(codes(pointFaults(entry(5, -1), { ...setting, rawMin: null }))).toEqual([]);
  });

  test('the points together', () => {
    const line = (sensitivity: number, more: Partial<BenchEntry> = {}) =>
      STEPS.map((kpa) => entry(kpa, 8000 + sensitivity * kpa, more));
    expect(codes(runFaults([], setting))).toEqual([]);
    expect(codes(runFaults(line(600), setting))).toEqual([]);
    expect(codes(runFaults([entry(5, 9000)], setting))).toEqual(['one_point']);
    expect(codes(runFaults([entry(5, 9000), entry(9, 1, { setAside: 'x' })], setting))).toEqual([
      'one_point',
    ]);
    expect(codes(runFaults([entry(5, 9000), entry(5, 9001)], setting))).toEqual(['all_equal']);
    expect(codes(runFaults([entry(0.1, 1), entry(0.1, 2), entry(0.1, 4)], setting))).toEqual(['all_equal']);
    expect(codes(runFaults([...line(600), entry(10, 8800, { appliedUnit: 'mbar' })], setting))).toContain(
      'mixed_units',
    );
    expect(codes(runFaults([...line(600), ...line(600, { run: 2 })], setting))).toEqual([]);
    expect(codes(runFaults(line(-600), setting))).toEqual(['reversed']);
    expect(codes(runFaults(line(0), setting))).toEqual(['raw_unchanged']);
  });

  test('far from its history, with the unit that would explain it', () => {
    // 600 raw/kPa is 60 raw/mbar: pressures read in mbar and entered as kPa.
    const mbar = runFaults(
      STEPS.map((kpa) => entry(10 * kpa, 8000 + 600 * kpa)),
      setting,
    );
    expect(codes(mbar)).toEqual(['far_from_history']);
    expect(mbar[0]!.says).toContain('Is the unit right?');
    // cmH2O and mbar differ by 2 %, so the nearer of the two is named.
    expect(mbar[0]!.todo).toContain('mbar');
    const psi = runFaults(
      STEPS.map((kpa) => entry(kpa / 6.894757, 8000 + 600 * kpa)),
      setting,
    );
    expect(psi[0]!.todo).toContain('psi');
    const none = runFaults(
      STEPS.map((kpa) => entry(kpa, 8000 + 2500 * kpa)),
      setting,
    );
    expect(none[0]!.todo).toContain('the sensor it is said to be');
    expect(
      codes(
        runFaults(
          STEPS.map((kpa) => entry(kpa, 5 + 6 * kpa)),
          { ...setting, historyRawPerKpa: null },
        ),
      ),
    ).toEqual([]);
  });
});
