/**
 * A trial's films as they arrive: is each planned camera there, can it be read, does it run as planned, does it hold the
 * swim? Frame times come from the file, so a variable rate and lost frames show.
 */
import { type ClockLine, toTrace, MAIN_CAMERA } from '../clock/clock.ts';
import { type Stretch, type ArrivalFinding, finding, untold } from './findings.ts';
import { counted, percent, seconds } from '../base/words.ts';
import { median, mean } from '../base/statistics.ts';
import { MOST_RATE_OFF } from './trace.ts';

/** A film that came for the trial. */
export interface ArrivalFilm {
  readonly camera: string;
  /** Its name, as a person knows it. */
  readonly file: string;
  /** Presentation time of each frame, s, ascending; empty where it cannot be read. */
  readonly frameTimesS: readonly number[];
  /** A whole sentence that says why it cannot be used; null where it can. */
  readonly fault: string | null;
  /** The camera's clock on the trace; null before both are joined. */
  readonly clock: ClockLine | null;
}

export interface PlannedCamera {
  readonly camera: string;
  readonly frameRateHz: number;
}

/** What a film must hold, and for how long at least where its clock is not known. */
export interface ToFilm {
  /** Stretch of the trace; null without a trace. */
  readonly trace: Stretch | null;
  readonly section: Stretch | null;
  /** s; for a film without a trace, or one of a further camera without a section. */
  readonly leastS: number;
  readonly sectionLeastS: number;
}

/** An interval longer than so many usual ones holds a frame that was lost (common practice, no source). */
const LOST_FRAME = 1.5;

/** Judges every planned camera and every film that came. */
export function judgeFilms(
  films: readonly ArrivalFilm[],
  cameras: readonly PlannedCamera[],
  toHold: ToFilm,
  mayStillCome: boolean,
): readonly ArrivalFinding[] {
  const missing = cameras.filter(({ camera }) => films.every((film) => film.camera !== camera));
  return [
    ...missing.map(({ camera }) =>
      finding(
        'film',
        'look',
        mayStillCome
          ? `The film of camera ${camera} has not come yet.`
          : `There is no film of camera ${camera}, which the protocol plans.`,
      ),
    ),
    ...films.flatMap((film) =>
      judgeFilm(film, cameras.find(({ camera }) => camera === film.camera) ?? null, toHold),
    ),
  ];
}

function judgeFilm(
  film: ArrivalFilm,
  planned: PlannedCamera | null,
  toHold: ToFilm,
): readonly ArrivalFinding[] {
  const { camera, file, fault, clock } = film;
  if (fault !== null)
    return [finding('film', 'look', `The film of camera ${camera} cannot be used: ${fault}`)];
  const pace = paceOf(film.frameTimesS);
  if (pace === null)
    return [
      finding(
        'film',
        'look',
        `${file} holds ${counted(film.frameTimesS.length, 'frame')}, too few for a film of camera ${camera}. Film again.`,
      ),
    ];
  const rate = judgeRate(film, pace, planned);
  const lost = judgeLost(film, pace, clock);
  const coverage = judgeCoverage(film, pace, toHold);
  return [...rate, ...lost, coverage];
}

/** Frames of a film: usual interval and first and last moment, s. */
interface Pace {
  readonly intervalS: number;
  readonly rateHz: number;
  readonly firstS: number;
  /** When the last frame ends. */
  readonly endS: number;
}

function paceOf(frameTimesS: readonly number[]): Pace | null {
  const intervals = frameTimesS.slice(1).map((timeS, k) => timeS - frameTimesS[k]!);
  const typical = median(intervals);
  if (typical === null || !(typical > 0)) return null;
  // Some containers round times to 1 ms: the mean of the usual intervals is nearer than their median.
  const usual = mean(
    intervals.filter((interval) => interval > typical / LOST_FRAME && interval < LOST_FRAME * typical),
  )!;
  return {
    intervalS: usual,
    rateHz: 1 / usual,
    firstS: frameTimesS[0]!,
    endS: frameTimesS.at(-1)! + usual,
  };
}

function judgeRate(
  { camera }: ArrivalFilm,
  { rateHz }: Pace,
  planned: PlannedCamera | null,
): readonly ArrivalFinding[] {
  const rate = `${rateHz.toFixed(2)} frames/s`;
  if (planned === null)
    return [
      finding('frame_rate', 'good', `Camera ${camera}: ${rate}; the protocol does not plan this camera.`),
    ];
  const off = Math.abs(rateHz / planned.frameRateHz - 1) > MOST_RATE_OFF;
  const says = `Camera ${camera} filmed at ${rate}; planned are ${planned.frameRateHz} frames/s`;
  return off
    ? [
        finding(
          'frame_rate',
          'look',
          `${says}, and more than ${percent(MOST_RATE_OFF)} off is too far. Times are read from the file, so the trial can be used; set the camera right for the next.`,
        ),
      ]
    : [finding('frame_rate', 'good', `Camera ${camera}: ${rate}, as planned.`)];
}

function judgeLost(
  { camera, frameTimesS }: ArrivalFilm,
  { intervalS }: Pace,
  clock: ClockLine | null,
): readonly ArrivalFinding[] {
  const lost = frameTimesS.flatMap((timeS, k) => {
    const before = frameTimesS[k - 1];
    return before !== undefined && timeS - before > LOST_FRAME * intervalS ? [{ before, timeS }] : [];
  });
  if (lost.length === 0) return [];
  const worst = lost.reduce((most, gap) => (gap.timeS - gap.before > most.timeS - most.before ? gap : most));
  const stretch =
    clock === null ? null : { startS: toTrace(clock, worst.before), endS: toTrace(clock, worst.timeS) };
  return [
    finding(
      'frame_rate',
      'look',
      `Camera ${camera} lost frames at ${counted(lost.length, 'place')}: the longest interval is ${(1000 * (worst.timeS - worst.before)).toFixed(0)} ms at ${worst.before.toFixed(2)} s of the film, where ${(1000 * intervalS).toFixed(0)} ms are usual and ${LOST_FRAME} times that is the limit.`,
      stretch,
    ),
  ];
}

/** The main camera must hold the whole trace, a further one the section; without its clock only its length tells. */
function judgeCoverage({ camera, clock }: ArrivalFilm, pace: Pace, toHold: ToFilm): ArrivalFinding {
  const isMain = camera === MAIN_CAMERA;
  const what = isMain ? toHold.trace : toHold.section;
  const name = isMain ? 'trace' : 'section';
  const lastsS = pace.endS - pace.firstS;
  const says = `Camera ${camera} filmed ${seconds(lastsS)}`;
  if (what === null) {
    const [leastS, run] = isMain ? [toHold.leastS, 'run'] : [toHold.sectionLeastS, 'section'];
    const judged = `the ${run} should take ${seconds(leastS)} at least`;
    return lastsS < leastS
      ? finding('coverage', 'look', `${says}; ${judged}. See whether the swim is on it.`)
      : untold('coverage', `${says}; ${judged}. Whether it holds the ${name} cannot be told yet.`);
  }
  if (clock === null) {
    const needS = what.endS - what.startS;
    return lastsS < needS - pace.intervalS
      ? finding(
          'coverage',
          'look',
          `Camera ${camera} filmed ${seconds2(lastsS)}, less than the ${seconds2(needS)} of the ${name}: it cannot hold it all. See whether the swim is on it.`,
        )
      : finding(
          'coverage',
          'good',
          `${says}, long enough for the ${name} of ${seconds(needS)}; whether it holds it is known once both clocks are joined.`,
        );
  }
  const [fromS, toS] = [toTrace(clock, pace.firstS), toTrace(clock, pace.endS)];
  const early = what.startS - fromS < -pace.intervalS;
  const late = toS - what.endS < -pace.intervalS;
  if (!early && !late) return finding('coverage', 'good', `Camera ${camera} holds the whole ${name}.`);
  const where = [
    ...(early ? [`begins ${seconds2(fromS - what.startS)} after its start`] : []),
    ...(late ? [`ends ${seconds2(what.endS - toS)} before its end`] : []),
  ].join(' and ');
  const held = isMain && covers(toHold.section, fromS, toS) ? ' The section is in the picture.' : '';
  return finding(
    'coverage',
    'look',
    `The film of camera ${camera} does not hold the whole ${name}: it ${where}.${held}`,
    early ? { startS: what.startS, endS: fromS } : { startS: toS, endS: what.endS },
  );
}

function covers(section: Stretch | null, fromS: number, toS: number): boolean {
  return section !== null && fromS <= section.startS && toS >= section.endS;
}

function seconds2(value: number): string {
  return `${value.toFixed(2)} s`;
}
