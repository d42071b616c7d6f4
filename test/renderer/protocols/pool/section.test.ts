import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { keyStepM, movedSection, STEP_M, type Grip } from '../../../../renderer/protocols/pool/section.ts';
import { gripText, placeWords, poolTicks } from '../../../../renderer/protocols/pool/poolwords.ts';

const NBSP = '\u00a0';
const grip = fc.constantFrom<Grip>('start', 'end', 'band');
const places = fc
  .tuple(fc.integer({ min: 0, max: 400 }), fc.integer({ min: 1, max: 100 }))
  .map(([end, length]): [number, number] => [(end + length) / 10, end / 10]);

describe('moving the section', () => {
  it('moves one end in steps of 0.1 m and leaves the other', () => {
    expect(movedSection([10, 0], 'start', 0.34, 20)).toEqual([9.7, 0]);
    expect(movedSection([10, 0], 'start', -2, 20)).toEqual([12, 0]);
    expect(movedSection([15, 5], 'end', -1, 25)).toEqual([15, 6]);
  });

  it('moves the whole with its length, and stops at the wall and at the start', () => {
    expect(movedSection([15, 5], 'band', 2, 25)).toEqual([13, 3]);
    expect(movedSection([15, 5], 'band', 9, 25)).toEqual([10, 0]);
    expect(movedSection([15, 5], 'band', -20, 25)).toEqual([25, 15]);
    expect(movedSection([12.34, 2.31], 'band', 0.1, 25)).toEqual([12.23, 2.2]);
  });

  it('never turns round, never leaves the run, wherever it is dragged', () => {
    fc.assert(
      fc.property(places, grip, fc.double({ min: -100, max: 100, noNaN: true }), (section, held, byM) => {
        const runM = 50;
        const [start, end] = movedSection(section, held, byM, runM);
        expect(start - end).toBeGreaterThan(STEP_M - 1e-9);
        expect(end).toBeGreaterThanOrEqual(0);
        expect(start).toBeLessThanOrEqual(runM);
        if (held === 'band') expect(start - end).toBeCloseTo(section[0] - section[1], 5);
      }),
    );
  });

  // WAI-ARIA Authoring Practices, slider pattern: right and up raise, page keys take a larger step, Home and End go to
  // the ends. Raised is the distance swum, since the finishing wall is drawn at the right.
  it('goes by keys as a slider does', () => {
    expect([keyStepM('ArrowRight', false), keyStepM('ArrowUp', false)]).toEqual([0.1, 0.1]);
    expect([keyStepM('ArrowLeft', true), keyStepM('PageDown', false)]).toEqual([-1, -1]);
    expect(keyStepM('Tab', false)).toBeNull();
    const to = (held: Grip, key: string) => movedSection([10, 2], held, keyStepM(key, false)!, 20);
    expect(to('start', 'Home')).toEqual([20, 2]);
    expect(to('start', 'End')).toEqual([2.1, 2]);
    expect(to('end', 'End')).toEqual([10, 0]);
    expect(to('band', 'Home')).toEqual([20, 12]);
  });
});

describe('the pool in words', () => {
  it('tells both distances of a place', () => {
    expect(placeWords(10, 20)).toBe(`10.0${NBSP}m to the finishing wall, 10.0${NBSP}m from the start`);
    expect(placeWords(0, 20)).toBe(`at the finishing wall, 20.0${NBSP}m from the start`);
    expect(placeWords(22, 20)).toContain(`2.0${NBSP}m before the start`);
    expect(gripText('band', [12.25, 2], 20)).toBe(
      `10.25${NBSP}m long, from 12.25${NBSP}m to 2.0${NBSP}m before the finishing wall`,
    );
  });

  it('writes ticks with room between them, the far end among them, whatever the pool', () => {
    expect(poolTicks(25, 1200).written).toEqual([0, 5, 10, 15, 20, 25]);
    expect(poolTicks(25, 1200).small).toHaveLength(20);
    expect(poolTicks(33.3, 1200).written).toEqual([0, 5, 10, 15, 20, 25, 30, 33.3]);
    const pools = fc.double({ min: 1, max: 1000, noNaN: true });
    fc.assert(
      fc.property(pools, fc.integer({ min: 300, max: 1900 }), (pool, width) => {
        const { written } = poolTicks(pool, width);
        expect(written.at(-1)).toBe(pool);
        const gaps = written.slice(1).map((at, k) => ((at - written[k]!) / pool) * width);
        expect(Math.min(...gaps)).toBeGreaterThanOrEqual(79);
      }),
    );
  });
});
