import { expect, test } from 'vitest';
import { highHandBar, highHandRoomS } from '../../../renderer/review/highhandbar.ts';

test('a bar is as long as its share of the room, the whisker one standard uncertainty to either side', () => {
  const { px, whisker } = highHandBar({ value: 0.2, u: 0.02 }, 0.4, 80)!;
  expect(px).toBeCloseTo(40, 9);
  expect([whisker!.from, whisker!.to].map(Math.round)).toEqual([36, 44]);
});

test('a high-hand time without an uncertainty has no whisker, none at all no bar', () => {
  expect(highHandBar({ value: 0, u: null }, 0.4, 80)).toEqual({ px: 0, whisker: null });
  expect(highHandBar(null, 0.4, 80)).toBeNull();
});

test('nothing leaves the room', () => {
  const { whisker } = highHandBar({ value: 0.4, u: 0.1 }, 0.4, 80)!;
  expect([whisker!.from, whisker!.to].map(Math.round)).toEqual([60, 80]);
  expect(highHandRoomS([])).toBe(0);
});
