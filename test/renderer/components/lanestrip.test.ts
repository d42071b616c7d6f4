import { render, screen } from '@testing-library/svelte';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import LaneStrip from '../../../renderer/components/LaneStrip.svelte';
import { describeStrip, stripScale, stripTicks } from '../../../renderer/components/lanestrip.ts';

const shape = { poolLengthM: 25, runM: 20, sectionFromWallM: [10, 0] as const };

describe('the scale', () => {
  it('is that of the pool: a run of 20 m in a pool of 25 m starts at a fifth', () => {
    const { percentAt, percentOf } = stripScale(shape);
    expect(percentAt(25)).toBe(0);
    expect(percentAt(20)).toBeCloseTo(20, 12);
    expect(percentAt(0)).toBe(100);
    expect(percentOf(10)).toBeCloseTo(40, 12);
  });

  it('stays within the strip, whatever is given', () => {
    const length = fc.double({ min: 0, max: 100, noNaN: true });
    fc.assert(
      fc.property(
        fc.option(length),
        fc.option(length),
        fc.double({ min: -50, max: 200, noNaN: true }),
        (pool, run, at) => {
          const place = stripScale({ poolLengthM: pool, runM: run, sectionFromWallM: null }).percentAt(at);
          expect(place).toBeGreaterThanOrEqual(0);
          expect(place).toBeLessThanOrEqual(100);
        },
      ),
    );
  });

  it('writes no distance over another', () => {
    const texts = stripTicks({ poolLengthM: 25, runM: 24.5, sectionFromWallM: [10, 0.5] }).map(
      (tick) => tick.text,
    );
    expect(texts).toEqual(['wall', '10\u00a0m', '24.5\u00a0m']);
  });
});

describe('the picture', () => {
  it('says in words what it shows', () => {
    render(LaneStrip, { ...shape, label: 'Lane', markFromWallM: 4 });
    const words =
      'Lane: pool of 25 m, run of 20 m to the wall, measured from 10 m to 0 m before the wall, mark at 4.0 m before the wall';
    expect(screen.getByRole('img').getAttribute('aria-label')!.replaceAll('\u00a0', ' ')).toBe(words);
  });

  it('draws the mark dashed where its place is not measured', () => {
    const dashed = (markFromWallM: number) => {
      const { container, unmount } = render(LaneStrip, { ...shape, label: 'Lane', markFromWallM });
      const found = container.querySelector('.mark.dashed') !== null;
      unmount();
      return found;
    };
    expect(dashed(4)).toBe(false);
    expect(dashed(12)).toBe(true);
  });

  it('tells what is not given', () => {
    const words = describeStrip('Lane', { poolLengthM: null, runM: null, sectionFromWallM: null }, null);
    expect(words).toBe('Lane: pool length not given, run length not given, no measured section');
  });
});
