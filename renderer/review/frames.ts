/**
 * Frames of a film by their own presentation times: which frame holds a moment, and where to seek to show it.
 * Times are on the film's clock, s. Frame k holds [time k, time k + 1); the last one lasts one median interval.
 */
import type { FilmS } from '../../core/base/units.ts';
import type { FilmView } from '../../core/contract/views.ts';

type Frames = Pick<FilmView, 'frameTimesS' | 'frameIntervalS'>;

/** Times closer than this are the same moment: a clock that was mapped there and back, or read in whole µs, s. */
const SAME_MOMENT_S = 2e-6;

/** The end of the last frame, s; null for a film without frames. */
export function filmEndS(film: Frames): number | null {
  const last = film.frameTimesS.at(-1);
  return last === undefined ? null : last + lastIntervalS(film);
}

function lastIntervalS({ frameTimesS, frameIntervalS }: Frames): number {
  if (frameIntervalS !== null) return frameIntervalS;
  const [before, last] = [frameTimesS.at(-2), frameTimesS.at(-1)];
  return before === undefined || last === undefined ? 0 : last - before;
}

/** The frame whose interval holds a moment; null before the first frame and after the last one's end. */
export function frameAt(film: Frames, videoS: FilmS): number | null {
  const end = filmEndS(film);
  if (end === null || videoS >= end - SAME_MOMENT_S) return null;
  const frame = lastNotAfter(film.frameTimesS, videoS + SAME_MOMENT_S);
  return frame < 0 ? null : frame;
}

/** Index of the last of ascending times that is not after a moment; −1 where all are. */
export function lastNotAfter(times: ArrayLike<number>, momentS: number): number {
  let low = 0;
  let high = times.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle]! <= momentS) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}

/** The middle of a frame's interval, s: a seek to a frame's very start may show the one before it. */
export function middleOfFrameS(film: Frames, frame: number): number {
  const start = film.frameTimesS[frame]!;
  const next = film.frameTimesS[frame + 1];
  return (start + (next ?? start + lastIntervalS(film))) / 2;
}

/** The frame whose presentation time is nearest to one that a player reports, s; null without frames. */
export function nearestFrame(film: Frames, mediaS: FilmS): number | null {
  const times = film.frameTimesS;
  if (times.length === 0) return null;
  const before = Math.max(0, lastNotAfter(times, mediaS));
  const after = Math.min(times.length - 1, before + 1);
  return times[after]! - mediaS < mediaS - times[before]! ? after : before;
}
