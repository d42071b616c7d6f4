/** The uncertainty of a traced, typed or estimated hand area. */
import { describe, expect, test } from 'vitest';
import {
  areaDoubt,
  areaFromReadings,
  areaFromTracings,
  estimatedArea,
  type PhotoScale,
} from '../../../core/force/handarea.ts';
import { type Point } from '../../../core/force/outline.ts';

const xy = (...pairs: (readonly [number, number])[]): Point[] => pairs.map(([x, y]) => ({ x, y }));

function value<T>(outcome: { ok: true; value: T } | { ok: false; error: { says: string } }): T {
  if (!outcome.ok) throw new Error(outcome.error.says);
  return outcome.value;
}

const code = (outcome: { ok: true } | { ok: false; error: { code: string; says: string; todo: string } }) => {
  if (outcome.ok) return null;
  expect([outcome.error.says, outcome.error.todo].every((text) => text.endsWith('.'))).toBe(true);
  return outcome.error.code;
};

describe('hand area', () => {
  const square = (side: number) => xy([0, 0], [side, 0], [side, side], [0, side]);
  const ruler: PhotoScale = {
    kind: 'two_points',
    points: [
      { x: 0, y: 0 },
      { x: 300, y: 400 },
    ],
    distanceCm: 10,
    distanceUCm: 0.05,
    clickUPx: 1,
  };

  test('two points: distance and clicks in the uncertainty, which tracings do not average away', () => {
    const once = value(areaFromTracings([square(600)], ruler));
    expect(once.cm2).toBeCloseTo(144, 9);
    // 2·√((0.05/10)² + (√2·1/500)²) = 1.149 % (JCGM 100 5.1.6).
    expect(once.scaleUCm2!).toBeCloseTo(144 * 2 * Math.hypot(0.005, Math.SQRT2 / 500), 3);
    expect(once.uCm2).toBeNull();
    const tracings = Array.from({ length: 16 }, (_, k) => square(600 + (k % 2 === 0 ? 3 : -3)));
    const many = value(areaFromTracings(tracings, ruler));
    const sd = Math.sqrt(16 / 15) * ((144 * ((4 * 3) / 600)) / 2);
    expect(many.repeatUCm2!).toBeCloseTo(sd / 4, 3);
    expect(many.uCm2!).toBeCloseTo(Math.hypot(many.scaleUCm2!, many.repeatUCm2!), 12);
    expect(many).toMatchObject({ method: 'traced', count: 16 });
    expect(many.scaleUCm2!).toBeGreaterThan(0.99 * once.scaleUCm2!);
  });

  test('no scale and no tracing are refused', () => {
    const none = {
      ...ruler,
      points: [
        { x: 1, y: 1 },
        { x: 1, y: 1 },
      ] as const,
    };
    expect(code(areaFromTracings([square(5)], none))).toBe('no_scale');
    expect(code(areaFromTracings([square(5)], { ...ruler, distanceCm: 0 }))).toBe('no_scale');
    expect(code(areaFromTracings([], ruler))).toBe('no_repeat');
    expect(code(areaFromTracings([square(5), []], ruler))).toBe('too_few_points');
  });

  test('typed: mean of the readings, their shared part kept', () => {
    expect(value(areaFromReadings([150, 154], 3))).toMatchObject({
      cm2: 152,
      uCm2: Math.hypot(3, 2),
      count: 2,
    });
    expect(value(areaFromReadings([150], 3))).toMatchObject({ uCm2: 3, repeatUCm2: null });
    expect(value(areaFromReadings([150, 154], null)).uCm2).toBeNull();
    expect(code(areaFromReadings([], 3))).toBe('no_repeat');
  });

  test('an estimate is for adults of likely size only', () => {
    expect(code(estimatedArea(170, 60, 17))).toBe('child');
    expect(code(estimatedArea(170, 60, null))).toBe('age_unknown');
    expect(code(estimatedArea(1.7, 60, 30))).toBe('body_size_unlikely');
    expect(code(estimatedArea(170, 132_000, 30))).toBe('body_size_unlikely');
    expect(code(estimatedArea(170, 60, 18))).toBeNull();
  });
});

describe('what no hand has, and what few have', () => {
  test('40 to 400 cm² are possible, 100 to 250 cm² usual for adults', () => {
    // Whole skin of a hand at most 540 cm², both sides (Lee, Choi & Kim 2007, J Physiol Anthropol 26:475–483).
    expect([39.9, 40, 99.9, 100, 250, 250.1, 400, 400.1].map((cm2) => areaDoubt(cm2)?.kind ?? null)).toEqual([
      'refuse',
      'ask',
      'ask',
      null,
      null,
      'ask',
      'ask',
      'refuse',
    ]);
    expect(areaDoubt(17_400)!.says).toContain('Are these mm²?');
  });
});
