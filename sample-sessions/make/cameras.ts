/** Frame times of each film and the two clocks. Frame times are presentation times, in s from the film's first frame. */
import type { Film, FilmKind } from './plan.ts';
import type { Swim } from './swim.ts';

type KindFacts = { container: 'mp4' | 'webm'; nominalHz: number; frame: (n: number) => number };

/** Irregular interval in ms: 15 to 25, and after every seventh frame a dropped one, 35 to 45. */
function variableFrameMs(n: number): number {
  return 20 * (n + Math.floor(n / 7)) + ((7 * n * n + 3 * n) % 6);
}

export const FILM_KINDS: Record<FilmKind, KindFacts> = {
  'mp4-50': { container: 'mp4', nominalHz: 50, frame: (n) => n / 50 },
  'mp4-5994': { container: 'mp4', nominalHz: 60000 / 1001, frame: (n) => (n * 1001) / 60000 },
  'mp4-vfr': { container: 'mp4', nominalHz: 50, frame: (n) => variableFrameMs(n) / 1000 },
  'webm-50': { container: 'webm', nominalHz: 50, frame: (n) => n / 50 },
  'webm-5994': {
    container: 'webm',
    nominalHz: 60000 / 1001,
    frame: (n) => Math.round((n * 1001) / 60) / 1000,
  },
};

export function filmFile(swim: Swim, film: Film): string {
  const suffix = swim.trial.films.length > 1 ? `-${film.camera}` : '';
  return `video/${swim.trial.trial}${suffix}.${FILM_KINDS[film.kind].container}`;
}

export const toTrace = (film: Film, videoS: number): number => film.offsetS + film.rate * videoS;
const toVideo = (film: Film, traceS: number): number => (traceS - film.offsetS) / film.rate;

/** All frame times of a film, which runs until shortly after the trace's end. */
export function frameTimes(swim: Swim, film: Film): number[] {
  const last = toVideo(film, swim.endS + 0.1);
  const times: number[] = [];
  for (let n = 0; ; n++) {
    const t = FILM_KINDS[film.kind].frame(n);
    if (t > last) return times;
    times.push(t);
  }
}

/** Index of the frame nearest to a moment given on the trace clock; -1 where the film does not show it. */
export function nearestFrame(film: Film, frames: readonly number[], traceS: number): number {
  const video = toVideo(film, traceS);
  const last = frames[frames.length - 1] ?? -1;
  if (video < -0.01 || video > last + 0.01) return -1;
  let low = 0;
  let high = frames.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((frames[middle] ?? Infinity) <= video) low = middle;
    else high = middle;
  }
  return video - (frames[low] ?? 0) <= (frames[high] ?? 0) - video ? low : high;
}

type LampMoment = { lamp: number; traceS: number; frame: number; videoS: number };

/**
 * The lamp fires on camera A's frame pulse and puts a mark into the trace, so its moment on the trace is the sample
 * nearest to one of A's frames; another camera shows it on its own nearest frame.
 */
export function lampMoments(swim: Swim): number[] {
  const master = swim.trial.films[0];
  if (!master) return [];
  const frames = frameTimes(swim, master);
  return swim.lampS.map((wished) => {
    const frame = frames[nearestFrame(master, frames, wished)];
    return Math.round(toTrace(master, frame ?? 0) * 500) / 500;
  });
}

export function lampsSeen(swim: Swim, film: Film): LampMoment[] {
  const frames = frameTimes(swim, film);
  return lampMoments(swim).flatMap((traceS, lamp) => {
    const frame = nearestFrame(film, frames, traceS);
    const videoS = frames[frame];
    return videoS === undefined ? [] : [{ lamp, traceS, frame, videoS }];
  });
}
