/** What people noted down: event marks by each rater, judgements per stroke, section times. */
import { frameTimes, nearestFrame, toTrace } from './cameras.ts';
import type { Film } from './plan.ts';
import { randomFor, type Random } from './random.ts';
import { HANDS, SAMPLE_RATE_HZ, type EntryPosition, type Hand } from './scenario.ts';
import { EVENTS, type EventName, type Stroke, type Swim } from './swim.ts';

type Mark = {
  hand: Hand;
  stroke: number;
  event: EventName;
  timeS: number;
  clock: 'trace' | 'video';
  camera: 'A' | 'B' | '';
  rater: string;
};

type Rater = { code: string; oneFrameOff: number; twoFramesOff: number };

type Judgement = {
  hand: Hand;
  stroke: number;
  entry: EntryPosition;
  breath: Stroke['breath'];
  exclusionReason: string;
  rater: string;
};

const FIRST_RATER: Rater = { code: 'R1', oneFrameOff: 0.12, twoFramesOff: 0 };
const SECOND_RATER: Rater = { code: 'R2', oneFrameOff: 0.45, twoFramesOff: 0.08 };
const PROPULSION: readonly EventName[] = ['propulsion_start', 'shoulder_plane', 'propulsion_end'];

/** Of the withdrawn swimmer, who has no film, only the first seconds were kept. */
export const WITHDRAWN_KEPT_S = 4;

export function raters(swim: Swim): Rater[] {
  if (!swim.trial.marked) return [];
  return swim.trial.secondRater ? [FIRST_RATER, SECOND_RATER] : [FIRST_RATER];
}

function markedStrokes(swim: Swim, hand: Hand): Stroke[] {
  const { unseen } = swim.trial;
  const withdrawn = swim.swimmer.consent === 'withdrawn';
  return swim.strokes[hand].filter(
    (s) =>
      !(unseen && unseen.hand === hand && unseen.stroke === s.stroke) &&
      !(withdrawn && s.at.water_exit > WITHDRAWN_KEPT_S),
  );
}

function slip(rater: Rater, random: Random): number {
  const draw = random.uniform();
  const size = draw < rater.twoFramesOff ? 2 : draw < rater.twoFramesOff + rater.oneFrameOff ? 1 : 0;
  return random.uniform() < 0.5 ? -size : size;
}

type Placed = Pick<Mark, 'timeS' | 'clock' | 'camera'>;

function onTrace(traceS: number, random: Random): Placed {
  const sample = Math.round((traceS + random.normal(0, 0.003)) * SAMPLE_RATE_HZ);
  return { timeS: sample / SAMPLE_RATE_HZ, clock: 'trace', camera: '' };
}

function onFilm(film: Film, frames: readonly number[], traceS: number, shift: number): Placed {
  const frame = nearestFrame(film, frames, traceS) + shift;
  const videoS = frames[frame];
  if (videoS === undefined) throw new Error(`film ${film.camera} does not show ${traceS} s`);
  return { timeS: Math.round(videoS * 1e6) / 1e6, clock: 'video', camera: film.camera };
}

/** A rater never puts a mark before the one it must follow. */
const NOT_BEFORE: Partial<Record<EventName, EventName>> = {
  full_reach: 'water_entry',
  hand_below_shoulder: 'full_reach',
  water_exit: 'propulsion_end',
};

function marksOfStroke(swim: Swim, stroke: Stroke, rater: Rater, random: Random, frames: number[][]): Mark[] {
  const { films, propulsionOn } = swim.trial;
  // A second camera stands at the end of the section and shows the last strokes better than the first.
  const filmIndex = films.length > 1 && stroke.at.water_entry > swim.sectionEndS - 1 ? 1 : 0;
  const film = films[filmIndex];
  const placed: Partial<Record<EventName, Placed>> = {};
  const marks: Mark[] = [];
  for (const event of EVENTS) {
    const onForce = !film || (propulsionOn === 'trace' && PROPULSION.includes(event));
    let place = onForce
      ? onTrace(stroke.at[event], random)
      : onFilm(film, frames[filmIndex] ?? [], stroke.at[event], slip(rater, random));
    const earlier = placed[NOT_BEFORE[event] ?? event];
    const isTogether = event === 'hand_below_shoulder' && stroke.entry === 'below';
    if (earlier && earlier.clock === place.clock && (isTogether || place.timeS < earlier.timeS))
      place = earlier;
    placed[event] = place;
    marks.push({ hand: stroke.hand, stroke: stroke.stroke, event, ...place, rater: rater.code });
  }
  return marks;
}

export function marksOf(swim: Swim, rater: Rater): Mark[] {
  const random = randomFor(`marks ${swim.trial.trial} ${rater.code}`);
  const frames = swim.trial.films.map((film) => frameTimes(swim, film));
  return HANDS.flatMap((hand) =>
    markedStrokes(swim, hand).flatMap((stroke) => marksOfStroke(swim, stroke, rater, random, frames)),
  );
}

export function judgementsOf(swim: Swim, rater: Rater): Judgement[] {
  const random = randomFor(`judgements ${swim.trial.trial} ${rater.code}`);
  return HANDS.flatMap((hand) =>
    markedStrokes(swim, hand).map((stroke) => {
      const doubts = rater.code !== FIRST_RATER.code && random.uniform() < 0.12;
      return {
        hand,
        stroke: stroke.stroke,
        entry: doubts && stroke.entry === 'above' ? 'level' : stroke.entry,
        breath: stroke.breath,
        exclusionReason: stroke.hindered ? 'hit the lane rope' : '',
        rater: rater.code,
      };
    }),
  );
}

/** Section times as read from film, brought to the trial's clock and written to 0.1 ms. */
export function sectionTimes(swim: Swim): { startS: number; endS: number } {
  const film = swim.trial.films[0];
  const read = (traceS: number): number => {
    if (!film) return Math.round(traceS * 100) / 100;
    const frames = frameTimes(swim, film);
    return Math.round(toTrace(film, frames[nearestFrame(film, frames, traceS)] ?? NaN) * 1e4) / 1e4;
  };
  return { startS: read(swim.sectionStartS), endS: read(swim.sectionEndS) };
}
