/** Entry position from points on a frame: geometry, propagation against Monte Carlo, classes, faults. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  entryDistance,
  type EntryDistance,
  type EntryMeasures,
  type EntryPoints,
  type PicturePoint,
} from '../../../core/stroke/entry.ts';

const MEASURES: EntryMeasures = { lengthCm: 100, lengthUCm: 0.5, clickUPx: 1, levelBandCm: 2 };

interface Scene {
  /** Hand above and ahead of the shoulder, cm. */
  readonly upCm: number;
  readonly aheadCm: number;
  readonly tiltDeg: number;
  readonly pxPerCm: number;
}

/** The picture of a scene with a known length of 100 cm and a water line of 400 cm. */
function picture({ upCm, aheadCm, tiltDeg, pxPerCm }: Scene): EntryPoints {
  const tilt = (tiltDeg * Math.PI) / 180;
  const at = (aheadOfShoulderCm: number, aboveShoulderCm: number): PicturePoint => {
    const [x, y] = [aheadOfShoulderCm * pxPerCm, -aboveShoulderCm * pxPerCm];
    return {
      x: 900 + x * Math.cos(tilt) - y * Math.sin(tilt),
      y: 500 + x * Math.sin(tilt) + y * Math.cos(tilt),
    };
  };
  return {
    shoulder: at(0, 0),
    hand: at(aheadCm, upCm),
    water: [at(-200, 10), at(200, 10)],
    length: [at(-80, 15), at(20, 15)],
  };
}

function distance(points: EntryPoints, measures: EntryMeasures = MEASURES): EntryDistance {
  const outcome = entryDistance(points, measures);
  if (!outcome.ok) throw new Error(outcome.error.says);
  return outcome.value;
}

const scene = fc.record({
  upCm: fc.double({ min: -30, max: 30, noNaN: true }),
  aheadCm: fc.double({ min: -70, max: 70, noNaN: true }),
  tiltDeg: fc.double({ min: -40, max: 40, noNaN: true }),
  pxPerCm: fc.double({ min: 1, max: 6, noNaN: true }),
});

/** Normal deviates from a small generator (Park & Miller 1988; Box & Muller 1958). */
function normals(seed: number) {
  let state = seed;
  const uniform = () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}

describe('distance', () => {
  test('is that of the scene, whatever tilt and scale, and whichever way the water line is drawn', () => {
    fc.assert(
      fc.property(scene, (made) => {
        const points = picture(made);
        const found = distance(points);
        expect(found.cm).toBeCloseTo(made.upCm, 9);
        expect(found.tiltDeg).toBeCloseTo(made.tiltDeg, 9);
        expect(found.cmPerPx).toBeCloseTo(1 / made.pxPerCm, 9);
        const [from, to] = points.water;
        expect(distance({ ...points, water: [to, from] })).toEqual({
          ...found,
          cm: expect.closeTo(found.cm, 9) as number,
          tiltDeg: expect.closeTo(found.tiltDeg, 9) as number,
          uCm: expect.closeTo(found.uCm, 9) as number,
          expandedUCm: expect.closeTo(found.expandedUCm, 9) as number,
        });
      }),
    );
  });

  test('its uncertainty is the scatter of clicks and length (Monte Carlo after JCGM 101:2008, clause 7)', () => {
    const normal = normals(20_260_314);
    for (const made of [
      { upCm: 4, aheadCm: 45, tiltDeg: 3, pxPerCm: 3 },
      { upCm: -25, aheadCm: 60, tiltDeg: -12, pxPerCm: 2 },
      { upCm: 0, aheadCm: 10, tiltDeg: 0, pxPerCm: 5 },
    ]) {
      const points = picture(made);
      const measures = { ...MEASURES, lengthUCm: 2, clickUPx: 2 };
      const moved = ({ x, y }: PicturePoint) => ({ x: x + 2 * normal(), y: y + 2 * normal() });
      const drawn = Array.from({ length: 20_000 }, () => {
        const { hand, shoulder, water, length } = points;
        const clicked: EntryPoints = {
          hand: moved(hand),
          shoulder: moved(shoulder),
          water: [moved(water[0]), moved(water[1])],
          length: [moved(length[0]), moved(length[1])],
        };
        return distance(clicked, { ...measures, lengthCm: 100 + 2 * normal() }).cm;
      });
      const centre = drawn.reduce((sum, cm) => sum + cm, 0) / drawn.length;
      const sd = Math.sqrt(drawn.reduce((sum, cm) => sum + (cm - centre) ** 2, 0) / (drawn.length - 1));
      // Four standard deviations of an SD from 20 000 draws are 2 %.
      expect(Math.abs(distance(points, measures).uCm / sd - 1)).toBeLessThan(0.02);
    }
  });

  test('coarser clicks and a less certain length never make it more certain', () => {
    fc.assert(
      fc.property(scene, fc.double({ min: 0, max: 3, noNaN: true }), (made, more) => {
        const points = picture(made);
        const before = distance(points).uCm;
        expect(distance(points, { ...MEASURES, clickUPx: 1 + more }).uCm).toBeGreaterThanOrEqual(before);
        expect(distance(points, { ...MEASURES, lengthUCm: 0.5 + more }).uCm).toBeGreaterThanOrEqual(before);
      }),
    );
  });
});

describe('class', () => {
  test('is decided only where both edges of the band lie beyond the expanded uncertainty', () => {
    fc.assert(
      fc.property(scene, fc.double({ min: 0, max: 10, noNaN: true }), (made, levelBandCm) => {
        const { cm, expandedUCm, position } = distance(picture(made), { ...MEASURES, levelBandCm });
        const near = [levelBandCm, -levelBandCm].some((edge) => Math.abs(cm - edge) <= expandedUCm);
        const plain = cm > levelBandCm ? 'above' : cm < -levelBandCm ? 'below' : 'level';
        expect(position).toBe(near ? 'undecided' : plain);
      }),
    );
  });

  test('is said in words', () => {
    const at = (upCm: number) =>
      distance(picture({ upCm, aheadCm: 50, tiltDeg: 0, pxPerCm: 4 }), { ...MEASURES, levelBandCm: 3 });
    expect(at(8).says).toBe(
      'The hand lies 8.0 cm ± 0.7 cm (95 %) above the shoulder: it enters above the shoulder.',
    );
    expect(at(-8)).toMatchObject({ position: 'below' });
    expect(at(0.5)).toMatchObject({ position: 'level' });
    expect(at(3.2)).toMatchObject({ position: 'undecided' });
    expect(at(-3.2).says).toMatch(/3\.2 cm .* below the shoulder: undecided, because the edge/);
  });
});

describe('points that give nothing', () => {
  const points = picture({ upCm: 5, aheadCm: 50, tiltDeg: 0, pxPerCm: 4 });
  const one = { x: 10, y: 10 };
  test.each([
    ['water_line_short', { ...points, water: [one, one] as const }, MEASURES],
    ['length_short', { ...points, length: [one, one] as const }, MEASURES],
    ['water_line_steep', { ...points, water: [one, { x: 20, y: 300 }] as const }, MEASURES],
    ['bad_measure', points, { ...MEASURES, lengthCm: 0 }],
    ['bad_measure', points, { ...MEASURES, clickUPx: -1 }],
    ['bad_measure', points, { ...MEASURES, levelBandCm: NaN }],
  ] as const)('%s', (code, given, measures) => {
    const outcome = entryDistance(given, measures);
    expect(outcome.ok ? null : outcome.error.code).toBe(code);
    if (!outcome.ok) expect(outcome.error.todo).not.toBe('');
  });
});

test('a short water line leaves the tilt uncertain, by the arm’s length along it (JCGM 100 5.1.2, by hand)', () => {
  const found = entryDistance(
    {
      hand: { x: 1000, y: 400 },
      shoulder: { x: 200, y: 400 },
      water: [
        { x: 0, y: 500 },
        { x: 100, y: 500 },
      ],
      length: [
        { x: 0, y: 600 },
        { x: 100, y: 600 },
      ],
    },
    { lengthCm: 50, lengthUCm: 0, clickUPx: 1, levelBandCm: 2 },
  );
  // √2 px of a pair: 0.5 cm/px across, and over 100 px of water line carried along 800 px of arm.
  expect(found.ok ? found.value.uCm : NaN).toBeCloseTo(Math.hypot(0.5, (800 * 0.5) / 100) * Math.SQRT2, 9);
});
