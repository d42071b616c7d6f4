import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  fitInto,
  pan,
  reveal,
  roundRange,
  tickDecimals,
  ticksIn,
  toPixel,
  toTime,
  withMargin,
  zoom,
} from '../../../renderer/plot/scale.ts';

const DOMAIN = { fromS: -2, toS: 598 };
const spans = fc
  .tuple(fc.double({ min: -2, max: 590, noNaN: true }), fc.double({ min: 0.02, max: 8, noNaN: true }))
  .map(([fromS, length]) => ({ fromS, toS: fromS + length }));

describe('pixels and moments', () => {
  it('lead there and back', () => {
    fc.assert(
      fc.property(spans, fc.double({ min: 0, max: 1000, noNaN: true }), (span, pixel) => {
        expect(toPixel(span, 1000, toTime(span, 1000, pixel))).toBeCloseTo(pixel, 6);
      }),
    );
  });
});

describe('ticks', () => {
  it('are round, even and within the range', () => {
    expect(ticksIn(0, 10, 5)).toEqual([0, 2, 4, 6, 8, 10]);
    expect(ticksIn(7.43, 7.61, 4)).toEqual([7.45, 7.5, 7.55, 7.6]);
    expect(ticksIn(-30, 100, 4)).toEqual([0, 50, 100]);
    expect(ticksIn(3, 3, 4)).toEqual([3]);
  });

  it('are never more than asked for by much', () => {
    fc.assert(
      fc.property(spans, fc.integer({ min: 1, max: 20 }), ({ fromS, toS }, most) => {
        const ticks = ticksIn(fromS, toS, most);
        expect(ticks.length).toBeLessThanOrEqual(most + 1);
        expect(ticks.every((tick) => tick >= fromS - 1e-6 && tick <= toS + 1e-6)).toBe(true);
      }),
    );
  });

  it('have the digits that tell them apart', () => {
    expect(tickDecimals([0, 50])).toBe(0);
    expect(tickDecimals([7.45, 7.5])).toBe(2);
    expect(tickDecimals([0.1, 0.2])).toBe(1);
    expect(tickDecimals([1])).toBe(2);
  });
});

describe('the range of the force axis', () => {
  it('holds the extent and zero, and has round ends', () => {
    expect(roundRange([3, 97])).toEqual([0, 100]);
    expect(roundRange([-7, 97])).toEqual([-10, 100]);
    expect(roundRange(null)).toEqual([0, 1]);
    expect(roundRange([0, 0])).toEqual([0, 1]);
  });
});

describe('the window', () => {
  it('stays within the domain and keeps the moment under the pointer in its place', () => {
    fc.assert(
      fc.property(
        spans,
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.double({ min: 0.1, max: 10, noNaN: true }),
        (raw, share, factor) => {
          const span = fitInto(DOMAIN, raw);
          const about = span.fromS + share * (span.toS - span.fromS);
          const next = zoom(DOMAIN, span, about, factor);
          expect(next.fromS).toBeGreaterThanOrEqual(DOMAIN.fromS - 1e-9);
          expect(next.toS).toBeLessThanOrEqual(DOMAIN.toS + 1e-9);
          expect(about).toBeGreaterThanOrEqual(next.fromS - 1e-9);
          expect(about).toBeLessThanOrEqual(next.toS + 1e-9);
          const touches = next.fromS <= DOMAIN.fromS + 1e-9 || next.toS >= DOMAIN.toS - 1e-9;
          if (!touches) expect(toPixel(next, 1, about)).toBeCloseTo(share, 6);
        },
      ),
    );
  });

  it('is panned to the end and no further', () => {
    expect(pan(DOMAIN, { fromS: 590, toS: 596 }, 10)).toEqual({ fromS: 592, toS: 598 });
    expect(pan(DOMAIN, { fromS: 0, toS: 6 }, 1)).toEqual({ fromS: 1, toS: 7 });
  });

  it('is moved only where a moment lies outside it', () => {
    const span = { fromS: 10, toS: 20 };
    expect(reveal(DOMAIN, span, 15)).toBe(span);
    expect(reveal(DOMAIN, span, 25)).toEqual({ fromS: 16, toS: 26 });
    expect(reveal(DOMAIN, span, 5)).toEqual({ fromS: 4, toS: 14 });
  });

  it('takes a margin where there is room', () => {
    expect(withMargin(DOMAIN, { fromS: 0, toS: 10 }, 0.1)).toEqual({ fromS: -1, toS: 11 });
    expect(withMargin(DOMAIN, { fromS: -2, toS: 8 }, 0.1)).toEqual({ fromS: -2, toS: 9 });
  });
});
