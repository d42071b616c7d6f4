/** The uncertainty of a traced, typed or estimated hand area. */
import { describe, expect, test } from 'vitest';
import { areaDoubt, areaFromReadings, estimatedArea } from '../../../core/force/handarea.ts';
import { areaFromTracings, type PhotoScale } from '../../../core/force/tracedarea.ts';
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
    const flat = { riseCm: 0, cameraCm: 60, offsetCm: 0 };
    const once = value(areaFromTracings([square(600)], ruler, flat));
    expect(once.cm2).toBeCloseTo(144, 9);
    // 2·√((0.05/10)² + (√2·1/500)²) = 1.149 % (JCGM 100 5.1.6).
    expect(once.scaleUCm2!).toBeCloseTo(144 * 2 * Math.hypot(0.005, Math.SQRT2 / 500), 3);
    expect(once.uCm2).toBeNull();
    const tracings = Array.from({ length: 16 }, (_, k) => square(600 + (k % 2 === 0 ? 3 : -3)));
    const many = value(areaFromTracings(tracings, ruler, flat));
    const sd = Math.sqrt(16 / 15) * ((144 * ((4 * 3) / 600)) / 2);
    expect(many.repeatUCm2!).toBeCloseTo(sd / 4, 3);
    expect(many.uCm2!).toBeCloseTo(Math.hypot(many.scaleUCm2!, many.repeatUCm2!), 12);
    expect(many).toMatchObject({ method: 'traced', count: 16 });
    expect(many.scaleUCm2!).toBeGreaterThan(0.99 * once.scaleUCm2!);
  });

  test('15 mm above the sheet at arm’s length are 5 %: the middle is taken out, the rest and the drawing are parts', () => {
    const drawn = { riseCm: 1.5, cameraCm: 60, offsetCm: 0.05 };
    const two = [square(600), square(600)];
    const found = value(areaFromTracings(two, ruler, drawn));
    // By similar triangles: seen at 15 mm, (60/58.5)² = 1.0519 of its size; the middle of the two is off by half of that.
    expect(found.cm2).toBeCloseTo(144 * (59.25 / 60) ** 2, 9);
    // Rectangular over ± 7.5 mm: 2 × 0.75/√3/59.25 = 1.462 %.
    expect(found.planeUCm2! / found.cm2).toBeCloseTo(0.01462, 5);
    // 48 cm round, half a millimetre either way, rectangular: 48 × 0.05/√3 = 1.386 cm², as large as it is seen.
    expect(found.offsetUCm2!).toBeCloseTo(1.3856 * (59.25 / 60), 3);
    expect(found.uCm2!).toBeCloseTo(Math.hypot(found.scaleUCm2!, 0, found.planeUCm2!, found.offsetUCm2!), 12);
    expect(found.says).toContain('0 to 15 mm above it at 60 cm');
    // Either end of the heights lies within two standard uncertainties of what is told.
    for (const heightCm of [0, 1.5])
      expect(Math.abs(144 * (1 - heightCm / 60) ** 2 - found.cm2)).toBeLessThan(2 * found.planeUCm2!);
    expect(areaFromTracings(two, ruler, { ...drawn, riseCm: 61 }).ok).toBe(false);
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
