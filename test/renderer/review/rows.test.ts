import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { labelsWithRoom } from '../../../renderer/review/labels.ts';
import { endLabelPx } from '../../../renderer/review/picture.ts';
import { bridgeLabels, bridgeWords, visibleBands, visibleBridges } from '../../../renderer/review/rows.ts';
import { bridges, phaseBands } from '../../../renderer/review/strokes.ts';
import { trialView } from './fixture.ts';

const { strokes } = trialView().result;
const axis = (fromS: number, toS: number) => ({
  span: { fromS, toS },
  pixelAt: (timeS: number) => (1000 * (timeS - fromS)) / (toS - fromS),
});

describe('labels', () => {
  it('never touch, and the first of them is always there', () => {
    const label = fc.record({
      atPx: fc.double({ min: 0, max: 500, noNaN: true }),
      widthPx: fc.double({ min: 5, max: 80, noNaN: true }),
      first: fc.boolean(),
    });
    fc.assert(
      fc.property(fc.array(label), (labels) => {
        const placed = labelsWithRoom(labels, 2);
        for (let i = 1; i < placed.length; i++) {
          const [before, here] = [placed[i - 1]!, placed[i]!];
          expect(here.atPx - before.atPx).toBeGreaterThanOrEqual((here.widthPx + before.widthPx) / 2);
        }
        expect(placed.some((one) => one.first)).toBe(labels.some((one) => one.first));
      }),
    );
  });

  it('at the lines’ ends are kept apart by a line', () => {
    const { left, right } = endLabelPx({ left: 10, right: 11 }, [0, 100], 200);
    expect(Math.abs(left! - right!)).toBe(18);
    expect(left!).toBeGreaterThan(right!);
    expect(endLabelPx({ left: 100, right: 0 }, [0, 100], 200)).toEqual({ left: 0, right: 200 });
    expect(endLabelPx({ left: null, right: 50 }, [0, 100], 200)).toEqual({ left: null, right: 100 });
  });
});

describe('bands in a window', () => {
  it('are those it touches, named where there is room', () => {
    const close = visibleBands(phaseBands(strokes, 'left'), axis(1, 1.6));
    expect(close.map((band) => band.phase)).toEqual(['pull', 'push', 'recovery']);
    expect(close.every((band) => band.label !== null)).toBe(true);
    const wide = visibleBands(phaseBands(strokes, 'left'), axis(0, 600));
    expect(wide.every((band) => band.label === null)).toBe(true);
  });
});

describe('bridges in a window', () => {
  it('carry their length in ms and % with its sign', () => {
    expect(bridgeWords(bridges(strokes)[0]!)).toEqual(['−60\u00a0ms', '−5.0\u00a0%']);
  });

  it('stand from the partner’s end to the start, labels within the axis', () => {
    const drawn = visibleBridges(bridges(strokes), axis(1, 5));
    expect(drawn.every(({ endX, startX }) => endX < startX)).toBe(true);
    const labels = bridgeLabels(drawn, 'left', 2, [0, 1000]);
    expect(labels.find((label) => label.first)?.stroke).toBe(2);
    expect(labels.every(({ atPx, widthPx }) => atPx - widthPx / 2 >= 0 && atPx + widthPx / 2 <= 1000)).toBe(
      true,
    );
  });

  it('are not named where one name would stand for many', () => {
    const drawn = visibleBridges(bridges(strokes), axis(0, 600));
    expect(bridgeLabels(drawn, 'right', null, [0, 1000])).toHaveLength(0);
    expect(bridgeLabels(drawn, 'right', 3, [0, 1000]).map((label) => label.stroke)).toEqual([3]);
  });
});
