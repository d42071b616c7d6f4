import { expect, test } from 'vitest';
import { exposureBar, exposureRoomS } from '../../../renderer/review/exposurebar.ts';

test('a bar is as long as its share of the room, the whisker one standard uncertainty to either side', () => {
  const { px, whisker } = exposureBar({ value: 0.2, u: 0.02 }, 0.4, 80)!;
  expect(px).toBeCloseTo(40, 9);
  expect([whisker!.from, whisker!.to].map(Math.round)).toEqual([36, 44]);
});

test('an exposure without an uncertainty has no whisker, none at all no bar', () => {
  expect(exposureBar({ value: 0, u: null }, 0.4, 80)).toEqual({ px: 0, whisker: null });
  expect(exposureBar(null, 0.4, 80)).toBeNull();
});

test('nothing leaves the room', () => {
  const { whisker } = exposureBar({ value: 0.4, u: 0.1 }, 0.4, 80)!;
  expect([whisker!.from, whisker!.to].map(Math.round)).toEqual([60, 80]);
  expect(exposureRoomS([])).toBe(0);
});
