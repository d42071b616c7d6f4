/**
 * Points for the entry position belong to the frame and the stroke that they were placed for; what stands still stays.
 * The scene: 1 px is 1 cm, the water line level, so that a hand 20 px above the shoulder is 20 cm above it.
 */
import { beforeEach, expect, it } from 'vitest';
import {
  EntryPointsDesk,
  type PointName,
  type ShownFrame,
} from '../../../../renderer/review/marking/entrypoints.svelte.ts';
import type { StrokeName } from '../../../../renderer/review/marking/judging.ts';

let frame: ShownFrame | null;
let stroke: StrokeName | null;
let desk: EntryPointsDesk;
const at = (number: number, camera = 'A'): ShownFrame => ({
  camera,
  frame: number,
  widthPx: 640,
  heightPx: 360,
});

beforeEach(() => {
  localStorage.clear();
  [frame, stroke] = [at(100), { hand: 'left', stroke: 1 }];
  desk = new EntryPointsDesk(
    () => frame,
    () => stroke,
  );
});

const STANDING = [
  [20, 100],
  [600, 100],
  [300, 300],
  [400, 300],
] as const;

function put(...places: readonly (readonly [number, number])[]): readonly (PointName | null)[] {
  return places.map(([x, y]) => {
    desk.place({ x, y });
    return desk.placing;
  });
}

/** Hand 20 px above the shoulder, and all that stands still. */
function placeAll() {
  desk.begin();
  put([320, 80], [300, 100], ...STANDING);
}

it('holds hand and shoulder to the stroke of the first of them, wherever the cursor goes', () => {
  placeAll();
  expect(desk.result).toMatchObject({ ok: true, value: { position: 'above' } });
  expect([desk.of, desk.elsewhere, desk.placed]).toEqual([{ hand: 'left', stroke: 1 }, null, 6]);
  // The other arm on the same frame: not its points, and not its class.
  stroke = { hand: 'right', stroke: 1 };
  expect([desk.of, desk.elsewhere?.frame, desk.drawn]).toEqual([{ hand: 'left', stroke: 1 }, 100, {}]);
  stroke = { hand: 'left', stroke: 1 };
  expect(desk.elsewhere).toBeNull();
  frame = at(101);
  expect([desk.of, desk.elsewhere?.frame]).toEqual([{ hand: 'left', stroke: 1 }, 100]);
  // Placing begun for another stroke takes them away: none of them counts for it.
  stroke = { hand: 'left', stroke: 2 };
  desk.begin();
  expect([desk.of, desk.result]).toEqual([null, null]);
  expect([desk.points.hand, desk.points.shoulder]).toEqual([undefined, undefined]);
});

it('keeps water line and known length from stroke to stroke of one camera, not of another', () => {
  placeAll();
  [frame, stroke] = [at(180), { hand: 'left', stroke: 2 }];
  expect(desk.keeps).toBe(true);
  desk.begin();
  // Two points are enough: 30 px below the shoulder.
  expect(put([320, 130], [300, 100])).toEqual(['shoulder', null]);
  expect(desk.result).toMatchObject({ ok: true, value: { position: 'below' } });
  expect(desk.of).toEqual({ hand: 'left', stroke: 2 });
  frame = at(180, 'B');
  expect([desk.keeps, desk.placed]).toEqual([false, 0]);
  desk.begin();
  put([10, 10]);
  frame = at(200);
  expect(desk.placed).toBe(4);
  desk.startAgain();
  expect(desk.placed).toBe(0);
});

it('gives no stroke a class where none was marked', () => {
  stroke = null;
  placeAll();
  expect([desk.of, desk.result?.ok]).toEqual([null, true]);
});
