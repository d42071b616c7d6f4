/** How much a calibration looked at, and which readings take part in its line. */
import { describe, expect, test } from 'vitest';
import { assessDraft } from '../../../core/sensor/assess.ts';
import type { BenchDraft } from '../../../core/sensor/draft.ts';
import { DEFAULT_BENCH_LIMITS } from '../../../core/sensor/limits.ts';
import { assessCalibration, type CalibrationAssessment } from '../../../core/sensor/metrology.ts';
import { judgeBench } from '../../../core/sensor/verdict.ts';
import { EXACT, runs, STEPS } from './runs.ts';

const good = assessCalibration(runs(), 15, EXACT)!;

describe('how much was looked at (formats.md section 1)', () => {
  const judge = (
    found: CalibrationAssessment | null,
    limits = DEFAULT_BENCH_LIMITS,
    name: string | null = 'tape',
  ) => judgeBench(found, limits, null, name);
  const finding = (verdict: ReturnType<typeof judgeBench>, limit: string) =>
    verdict.findings.find((found) => found.limit === limit)!;
  const upTo = (partOfRange: number) => {
    const points = runs();
    const most = Math.max(...points.map(({ appliedKpa }) => appliedKpa));
    return assessCalibration(points, most / partOfRange, EXACT)!;
  };

  test('less than half the range is at best a remark; half of it, by pressure or by suction, is enough', () => {
    expect(judge(upTo(0.49)).verdict).toBe('remark');
    expect(finding(judge(upTo(0.49)), 'leastCoveragePct')).toMatchObject({ held: 'no', bound: 50 });
    expect(finding(judge(upTo(0.5)), 'leastCoveragePct')).toMatchObject({ held: 'yes' });
    const suction = runs().map((point) => ({ ...point, appliedKpa: -point.appliedKpa, raw: -point.raw }));
    expect(finding(judge(assessCalibration(suction, 15, EXACT)), 'leastCoveragePct').held).toBe('yes');
    expect(judge(upTo(0.49), { ...DEFAULT_BENCH_LIMITS, leastCoveragePct: 40 }).verdict).toBe('accepted');
  });

  test('two pressures have no non-linearity, and are at best a remark, whatever a lab asks for', () => {
    const found = assessCalibration(
      runs().filter(({ appliedKpa }) => appliedKpa === STEPS[0] || appliedKpa === STEPS.at(-1)),
      15,
      EXACT,
    )!;
    expect(found).toMatchObject({
      pressureCount: 2,
      nonlinearityPctFs: null,
      terminalNonlinearityPctFs: null,
    });
    const none = Object.fromEntries(Object.keys(DEFAULT_BENCH_LIMITS).map((name) => [name, null]));
    const verdict = judge(found, { ...DEFAULT_BENCH_LIMITS, ...none, upAndDown: false });
    expect(verdict.verdict).toBe('remark');
    expect(finding(verdict, 'leastPressures')).toMatchObject({ value: 2, bound: 3, held: 'no' });
  });

  test('a reference without a name that is taken as exact leaves a remark; a name or an uncertainty does not', () => {
    expect(judge(good, DEFAULT_BENCH_LIMITS, ' ').verdict).toBe('remark');
    expect(finding(judge(good, DEFAULT_BENCH_LIMITS, ''), 'reference').says).toContain('no name');
    expect(judge(good, DEFAULT_BENCH_LIMITS, 'tape').verdict).toBe('accepted');
    expect(judge(good, DEFAULT_BENCH_LIMITS, null).verdict).toBe('accepted');
    expect(
      judge(assessCalibration(runs(), 15, { ...EXACT, scale: 0.002 }), DEFAULT_BENCH_LIMITS, '').verdict,
    ).toBe('accepted');
  });
});

describe('readings beyond the sensor’s limits', () => {
  const facts = { rangeKpa: 15, rawMin: 0, rawMax: 20_000 };
  const draft = (asked: boolean | undefined): BenchDraft => ({
    sensor: 'S-01',
    method: 'reference_gauge',
    waterTemperatureC: null,
    latitudeDeg: null,
    altitudeM: null,
    columnHeightM: null,
    reference: { name: 'gauge 1', sharedKpa: 0, scale: 0.001, perPointKpa: 0 },
    notes: '',
    points: [
      ...runs().map((point) => ({
        applied: point.appliedKpa,
        appliedUnit: 'kPa' as const,
        raw: point.raw,
        direction: point.direction,
        run: point.run,
        setAside: null,
        source: { kind: 'typed' as const },
      })),
      {
        applied: 12,
        appliedUnit: 'kPa',
        raw: 70_000,
        direction: 'up',
        run: 2,
        setAside: null,
        source: { kind: 'typed' },
        ...(asked === undefined ? {} : { asked }),
      },
    ],
  });
  const assess = (asked?: boolean, origin?: 'bench' | 'day') =>
    assessDraft(draft(asked), facts, DEFAULT_BENCH_LIMITS, null, origin);
  const slope = (found: ReturnType<typeof assessDraft>) => found.assessment!.sensitivity.value;

  test('wait for a word before they enter the line, and are named', () => {
    const waiting = assess();
    expect(slope(waiting)).toBeCloseTo(
      slope(
        assessDraft(
          { ...draft(true), points: draft(true).points.slice(0, -1) },
          facts,
          DEFAULT_BENCH_LIMITS,
          null,
        ),
      ),
      12,
    );
    expect(waiting.assessment!.points.at(-1)!.setAside).toContain('beyond the sensor’s limits');
    expect(waiting.faults.map(({ code }) => code)).toContain('raw_outside');
    expect(waiting.verdict.verdict).toBe('remark');
    expect(slope(assess(false))).toBe(slope(waiting));
    expect(slope(assess(true))).not.toBeCloseTo(slope(waiting), 0);
  });

  test('of a day folder stand as its file gives them', () => {
    expect(slope(assess(undefined, 'day'))).toBe(slope(assess(true)));
  });
});
