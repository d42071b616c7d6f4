import { expect, it, vi } from 'vitest';
import { Tracing } from '../../../renderer/calibrated/tracing.svelte.ts';
import { A5_CORNERS, HAND_CM2, handOutline, photographed, PHOTO_PX } from './drawnhand.ts';

async function traced() {
  const close = vi.fn();
  vi.stubGlobal('createImageBitmap', async () => ({ width: PHOTO_PX.width, height: PHOTO_PX.height, close }));
  const tracing = new Tracing();
  await tracing.open(new File(['x'], 'hand.png'));
  vi.unstubAllGlobals();
  return { tracing, close };
}

it('finds the area of a hand photographed askew beside an A5 sheet (ISO 216)', async () => {
  const { tracing } = await traced();
  for (const corner of A5_CORNERS) tracing.place(photographed(corner), 1);
  expect(tracing.marksScale).toBe(false);
  for (const point of handOutline()) tracing.place(photographed(point), 1);
  expect(tracing.live).toMatchObject({ ok: true });
  tracing.finish();
  expect(tracing.areasCm2[0]).toBeCloseTo(HAND_CM2, 6);
  // One tracing does not show how well it repeats: no uncertainty.
  expect(tracing.result).toMatchObject({ ok: true, value: { count: 1, uCm2: null } });
});

it('draws by hand: points every few pixels of the screen', async () => {
  const { tracing } = await traced();
  tracing.chooseKind('two_points');
  tracing.scaleEntry.distanceCm = '10';
  tracing.place({ x: 100, y: 100 }, 1);
  tracing.place({ x: 200, y: 100 }, 1);
  const circle = Array.from({ length: 720 }, (_, k) => (k * Math.PI) / 360);
  for (const turn of circle)
    tracing.draw({ x: 500 + 200 * Math.cos(turn), y: 450 + 200 * Math.sin(turn) }, 1);
  expect(tracing.outline.length).toBeLessThan(400);
  tracing.finish();
  // 100 px are 10 cm: a circle of radius 20 cm.
  expect(tracing.areasCm2[0]! / (Math.PI * 400)).toBeCloseTo(1, 3);
});

it('takes points back, keeps the crosshair on the photograph, and starts again with another one', async () => {
  const { tracing, close } = await traced();
  tracing.place({ x: -50, y: 5000 }, 1);
  expect(tracing.marks).toEqual([{ x: 0, y: PHOTO_PX.height }]);
  tracing.takeBack();
  expect(tracing.marks).toEqual([]);
  tracing.place({ x: 1, y: 1 }, 1);
  vi.stubGlobal('createImageBitmap', async () => ({ width: 3000, height: 2000, close: () => {} }));
  await tracing.open(new File(['y'], 'other.png'));
  vi.unstubAllGlobals();
  expect(close).toHaveBeenCalledOnce();
  expect(tracing.marks).toEqual([]);
  expect(tracing.scaleEntry.clickUPx).toBe('2');
});
