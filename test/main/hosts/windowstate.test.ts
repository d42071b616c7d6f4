/** Where the window opens, when displays came and went. */
import { describe, expect, it } from 'vitest';
import { fitWindow } from '../../../main/desktop/windowstate.ts';

describe("the window's place", () => {
  const display = { x: 0, y: 0, width: 1920, height: 1040 };
  const right = { x: 1920, y: 0, width: 1280, height: 1000 };
  const kept = { x: 2000, y: 20, width: 1000, height: 700, maximized: true };

  it('is taken where it lies on a display', () => {
    expect(fitWindow(kept, [display, right])).toEqual({
      at: { x: 2000, y: 20 },
      width: 1000,
      height: 700,
      maximized: true,
    });
  });

  it.each([
    ['its display is gone', kept],
    ['it lies above the top, where nobody can take hold of it', { ...kept, x: 0, y: -50 }],
    ['too little of it shows', { ...kept, x: 1900 }],
    ['it lies below the bottom', { ...kept, x: 0, y: 1030 }],
  ])('is left to the system where %s', (_why, value) => {
    expect(fitWindow(value, [display]).at).toBeNull();
  });

  it('never exceeds the display nor falls below what the screens need', () => {
    expect(fitWindow({ ...kept, x: 0, width: 9000, height: 9000 }, [display])).toMatchObject({
      width: 1920,
      height: 1040,
    });
    expect(fitWindow({ ...kept, x: 0, width: 3, height: 3 }, [display])).toMatchObject({
      width: 800,
      height: 600,
    });
    expect(fitWindow(null, [{ ...display, width: 1024, height: 728 }])).toMatchObject({
      width: 1024,
      height: 728,
    });
  });

  it.each([null, 7, 'x', {}, { ...kept, x: 'left' }, { ...kept, width: Infinity }, { ...kept, y: 1e9 }, []])(
    'is the usual one where what was kept is %j',
    (value) => {
      expect(fitWindow(value, [display])).toEqual({ at: null, width: 1360, height: 900, maximized: false });
    },
  );
});
