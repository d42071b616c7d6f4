/** The verdict on a calibration: which limits are broken, and what could not be judged. */
import { describe, expect, test } from 'vitest';
import { judgeBench } from '../../../core/sensor/verdict.ts';
import { BENCH_LIMIT_REASONS, DEFAULT_BENCH_LIMITS } from '../../../core/sensor/limits.ts';
import { assessCalibration } from '../../../core/sensor/metrology.ts';
import { EXACT, runs } from './runs.ts';

const good = assessCalibration(runs(), 15, EXACT)!;

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
