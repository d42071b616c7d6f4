/** Decoded frames on their way to the screen: whatever is asked for, and in whatever order, the right one comes. */
import fc from 'fast-check';
import { describe, expect, it, vi } from 'vitest';
import { Stills, type Decoded } from '../../../../renderer/review/stills/stills.ts';

const COUNT = 300;

/** A film whose pictures are their own frame numbers; what was begun, decoded and is open is counted. */
function film(gives: (frame: number) => number = (frame) => frame) {
  const seen = { begun: 0, decoded: 0, open: 0 };
  const from = async function* (first: number): AsyncGenerator<Decoded> {
    seen.begun++;
    for (let frame = first; frame < COUNT; frame++) {
      await Promise.resolve();
      seen.decoded++;
      seen.open++;
      yield {
        frame: gives(frame),
        picture: () => ({ width: gives(frame), close: () => seen.open-- }) as unknown as ImageBitmap,
        close: () => seen.open--,
      };
    }
  };
  const close = vi.fn();
  const told = { wanted: vi.fn(), fault: vi.fn() };
  const stills = new Stills(
    { from, close },
    { count: COUNT, widthPx: 1920, heightPx: 1080, onWanted: told.wanted, onFault: told.fault },
  );
  /** Until nothing is decoded any more. */
  const rest = async () => {
    for (let before = -1; before !== seen.decoded; await new Promise((done) => setTimeout(done)))
      before = seen.decoded;
  };
  return { stills, seen, told, close, rest };
}

describe('decoded frames', () => {
  it('are those that were asked for, in whatever order and haste', async () => {
    const ask = fc.record({ frame: fc.nat(COUNT - 1), waits: fc.boolean() });
    await fc.assert(
      fc.asyncProperty(fc.array(ask, { minLength: 1, maxLength: 20 }), async (asks) => {
        const { stills, rest, told } = film();
        for (const { frame, waits } of asks) {
          const picture = stills.want(frame);
          if (picture !== null) expect(picture.width).toBe(frame);
          if (!waits) continue;
          await rest();
          expect(stills.want(frame)!.width).toBe(frame);
        }
        await rest();
        expect(stills.want(asks.at(-1)!.frame)!.width).toBe(asks.at(-1)!.frame);
        expect(told.fault).not.toHaveBeenCalled();
        stills.close();
      }),
      { numRuns: 40 },
    );
  });

  it('are there at once for a step either way, and the film is not begun anew for each', async () => {
    const { stills, seen, rest } = film();
    stills.want(150);
    await rest();
    for (const direction of [1, -1])
      for (let k = 1; k <= 30; k++) {
        expect(stills.want(150 + (direction === 1 ? k : 30 - k))!.width).toBe(
          150 + (direction === 1 ? k : 30 - k),
        );
        await rest();
      }
    expect(seen.begun).toBeLessThanOrEqual(8);
  });

  it('are few at a time, and let go of when they are far or the film is closed', async () => {
    const { stills, seen, rest, close } = film();
    for (const frame of [10, 90, 170, 250]) {
      stills.want(frame);
      await rest();
      // 20 pictures of 8.3 MB are 160 MB.
      expect(seen.open).toBeLessThanOrEqual(20);
    }
    stills.close();
    expect(seen.open).toBe(0);
    expect(close).toHaveBeenCalledOnce();
  });

  it('are decoded anew where a decoder that has worked is taken away, and not where none ever works', async () => {
    const { stills, rest, told, seen } = film((frame) => {
      if (frame === 60 && seen.begun === 1) throw new Error('taken away');
      return frame;
    });
    stills.want(55);
    await rest();
    expect(stills.want(64)!.width).toBe(64);
    expect(seen.begun).toBe(2);
    expect(told.fault).not.toHaveBeenCalled();
    const never = film(() => {
      throw new Error('no decoder');
    });
    never.stills.want(10);
    await never.rest();
    expect(never.told.fault).toHaveBeenCalledOnce();
  });

  it('that the film does not give are not waited for', async () => {
    const skips = film((frame) => (frame === 100 ? 101 : frame));
    skips.stills.want(100);
    await skips.rest();
    expect(skips.told.fault).toHaveBeenCalled();
    expect(skips.stills.want(100)).toBeNull();
  });
});
