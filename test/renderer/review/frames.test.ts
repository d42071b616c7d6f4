/** Frames by their own times. The oracle is a plain walk over all intervals. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  filmEndS,
  frameAt,
  lastNotAfter,
  middleOfFrameS,
  nearestFrame,
} from '../../../renderer/review/frames.ts';

/** Films of variable frame rate with any start. */
const films = fc
  .tuple(
    fc.double({ min: -1, max: 5, noNaN: true }),
    fc.array(fc.double({ min: 0.004, max: 0.2, noNaN: true }), { minLength: 1, maxLength: 60 }),
  )
  .map(([start, steps]) => {
    const frameTimesS = [start];
    for (const step of steps) frameTimesS.push(frameTimesS.at(-1)! + step);
    return { frameTimesS, frameIntervalS: steps.toSorted((a, b) => a - b)[steps.length >> 1]! };
  });

describe('the frame whose interval holds a moment', () => {
  it('is found at its start, in its middle and just before the next', () => {
    fc.assert(
      fc.property(films, (film) => {
        for (const [frame, time] of film.frameTimesS.entries()) {
          expect(frameAt(film, time)).toBe(frame);
          expect(frameAt(film, middleOfFrameS(film, frame))).toBe(frame);
          const end = film.frameTimesS[frame + 1] ?? filmEndS(film)!;
          expect(frameAt(film, end - 1e-4)).toBe(frame);
        }
      }),
    );
  });

  it('is the one a walk over all intervals finds', () => {
    fc.assert(
      fc.property(films, fc.double({ min: -3, max: 20, noNaN: true }), (film, moment) => {
        const ends = [...film.frameTimesS.slice(1), filmEndS(film)!];
        fc.pre([...film.frameTimesS, ...ends].every((time) => Math.abs(time - moment) > 1e-5));
        const walked = film.frameTimesS.findIndex((time, k) => moment >= time && moment < ends[k]!);
        expect(frameAt(film, moment)).toBe(walked < 0 ? null : walked);
      }),
    );
  });

  it('stays the same for a time that a player gives in whole microseconds', () => {
    const film = {
      frameTimesS: Array.from({ length: 600 }, (_, k) => (k * 1001) / 60_000),
      frameIntervalS: 1001 / 60_000,
    };
    for (const [frame, time] of film.frameTimesS.entries()) {
      expect(frameAt(film, Math.floor(time * 1e6) / 1e6)).toBe(frame);
      expect(nearestFrame(film, Math.floor(time * 1e6) / 1e6)).toBe(frame);
    }
  });

  it('is none without frames, before the first and after the last', () => {
    expect(frameAt({ frameTimesS: [], frameIntervalS: null }, 0)).toBeNull();
    expect(filmEndS({ frameTimesS: [], frameIntervalS: null })).toBeNull();
    const film = { frameTimesS: [0.007, 0.027, 0.047], frameIntervalS: 0.02 };
    expect(frameAt(film, 0)).toBeNull();
    expect(frameAt(film, 0.0671)).toBeNull();
    expect(nearestFrame({ frameTimesS: [], frameIntervalS: null }, 0)).toBeNull();
  });
});

describe('search in ascending times', () => {
  it('agrees with a walk from the end', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -50, max: 50 })),
        fc.integer({ min: -60, max: 60 }),
        (values, moment) => {
          const times = values.toSorted((a, b) => a - b);
          expect(lastNotAfter(times, moment)).toBe(times.findLastIndex((time) => time <= moment));
        },
      ),
    );
  });
});
