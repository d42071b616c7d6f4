/** An invented trial, computed by the core: six strokes per hand, a film of 50 frames/s, a trace of 500 Hz. */
import { asShown } from '../../core/shown.ts';
import { calibrate } from '../../../core/sensor/calibration.ts';
import type { ClockLine } from '../../../core/clock/clock.ts';
import type { Protocol } from '../../../core/protocol/protocol.ts';
import type { Mark, Stroke } from '../../../core/stroke/stroke.ts';
import { markingProgress } from '../../../core/trial/progress.ts';
import { analyseTrial, trialSeries } from '../../../core/trial/trial.ts';
import { type HandInput, type TrialInput } from '../../../core/trial/result.ts';
import type { FilmView, TrialView } from '../../../core/contract/views.ts';

export const CYCLE_S = 1.2;
/** Gap between one arm's propulsion end and the other's start, s. */
export const GAP_S = 0.06;
const RATE_HZ = 500;
const COUNT = 5001;

const protocol: Protocol = {
  name: '20 m sprint to the wall',
  stroke: 'front crawl',
  runM: 20,
  sectionFromWallM: [10, 0],
  sectionUM: 0.02,
  sectionPoints: { start: 'head', end: 'head' },
  attempts: 2,
  restMinS: 180,
  markingUS: 0.01,
  tapOffsetMm: 10,
  speedVariationPct: null,
  filter: { kind: 'none' },
  accept: {
    minStrokesPerHand: 3,
    maxGapMs: 20,
    maxSaturatedFraction: 0.001,
    maxZeroShiftKpa: 0.15,
    maxCheckDeviationKpa: null,
  },
};

function stroke(hand: 'left' | 'right', number: number): Stroke {
  const start = (number - 1) * CYCLE_S + (hand === 'left' ? 1 : 1 + CYCLE_S / 2);
  const mark = (afterS: number): Mark => ({
    timeS: start + afterS,
    uS: 0.01,
    clock: 'trace',
    sharedUS: 0,
    clockUS: 0,
  });
  const push = CYCLE_S / 2 - GAP_S;
  return {
    hand,
    number,
    marks: {
      water_entry: mark(-0.3),
      full_reach: mark(-0.2),
      hand_below_shoulder: mark(-0.05),
      propulsion_start: mark(0),
      shoulder_plane: mark(push / 2),
      propulsion_end: mark(push),
      water_exit: mark(push + 0.05),
    },
    propulsionClocks: ['trace', 'trace'],
    entryPosition: 'above',
    entryHeightCm: null,
    breath: 'none',
    exclusionReason: null,
  };
}

export const STROKES: readonly Stroke[] = (['left', 'right'] as const).flatMap((hand) =>
  [1, 2, 3, 4, 5, 6].map((number) => stroke(hand, number)),
);

/** A pulse for every stroke, in counts that are 1 Pa each. */
function channel(hand: 'left' | 'right') {
  const raw = new Float64Array(COUNT);
  for (const { marks, hand: whose } of STROKES) {
    if (whose !== hand) continue;
    const [from, to] = [marks.propulsion_start!.timeS, marks.propulsion_end!.timeS];
    for (let k = Math.ceil(from * RATE_HZ); k <= to * RATE_HZ; k++)
      raw[k] = 6000 * Math.sin((Math.PI * (k / RATE_HZ - from)) / (to - from)) ** 2;
  }
  return { raw, gaps: [], measured: COUNT, asRead: null };
}

const hand: HandInput = {
  calibration: calibrate(
    [0, 5, 10, 15].map((appliedKpa) => ({ appliedKpa, raw: 1000 * appliedKpa, direction: 'up' as const })),
    15,
  ),
  calibrationVerdict: 'accepted',
  elsewhere: null,
  zeros: { before: 0, after: 0 },
  dayZeros: { before: null, after: null },
  hasColumn: true,
  check: null,
  areaCm2: 150,
  areaUCm2: 2,
  rawMin: -1e9,
  rawMax: 1e9,
};

export const CLOCK: ClockLine = { offsetS: -0.5, rate: 1, residualS: 0.001, pairs: 3 };

export const FILM: FilmView = {
  camera: 'A',
  file: 'video/T-1.mp4',
  frameTimesS: Array.from({ length: 400 }, (_, k) => k / 50),
  frameIntervalS: 0.02,
  codec: 'avc1',
  widthPx: 480,
  heightPx: 270,
  clock: CLOCK,
  fault: null,
};

/** What the forces rest on. */
export const AREAS: TrialView['areas'] = {
  left: { cm2: 150, uCm2: 2, method: 'roster', says: 'As roster.csv gives it.' },
  right: { cm2: 150, uCm2: 2, method: 'roster', says: 'As roster.csv gives it.' },
};
const calibrationUsed = {
  says: 'The calibration of the day folder itself, accepted.',
  from: ['1'],
  verdict: 'accepted',
} as const;
export const CALIBRATIONS: TrialView['calibrations'] = { left: calibrationUsed, right: calibrationUsed };

export interface Wish {
  readonly trace?: boolean;
  readonly films?: readonly FilmView[];
  readonly strokes?: readonly Stroke[];
  readonly trial?: string;
}

/** The trial's view; a wish leaves parts of it out. */
export function trialView({
  trace = true,
  films = [FILM],
  strokes = STROKES,
  trial = 'T-1',
}: Wish = {}): TrialView {
  const section = { startS: 1.5, endS: 7 };
  const input: TrialInput = {
    protocol,
    pool: { lengthM: 25, waterTemperatureC: 27, latitudeDeg: 54, altitudeM: 40 },
    trace: trace
      ? {
          startS: 0,
          rateHz: RATE_HZ,
          count: COUNT,
          resampled: false,
          left: channel('left'),
          right: channel('right'),
        }
      : null,
    hands: { left: hand, right: hand },
    section,
    timingUS: 0.01,
    strokes,
    clock: CLOCK,
    rater: 'R1',
    flags: [],
  };
  return {
    dayId: 1,
    day: 'day-1',
    trial: asShown(trial),
    participant: asShown('S01'),
    attempt: 1,
    condition: 'sprint',
    status: 'recorded',
    exclusionReason: null,
    reportedWhy: null,
    timingMethod: 'video',
    section,
    protocol,
    poolLengthM: 25,
    trace: trace
      ? {
          startS: 0,
          rateHz: RATE_HZ,
          count: COUNT,
          gaps: { left: [], right: [] },
          hasForce: { left: true, right: true },
          units: { left: 'count', right: 'count' },
        }
      : null,
    films,
    result: analyseTrial(input),
    progress: markingProgress(input, trialSeries(input)),
    areas: AREAS,
    calibrations: CALIBRATIONS,
    evidence: [],
    inputs: [{ what: 'trace', file: 'traces/T-1.csv', sha256: '0123456789abcdef'.repeat(4) }],
    marking: { rater: null, marks: [], judgements: [], pairs: [], section: null, raters: [null] },
    previousTrial: null,
    nextTrial: asShown('T-2'),
    nextUnmarked: null,
    canUndo: false,
    canRedo: false,
  };
}
