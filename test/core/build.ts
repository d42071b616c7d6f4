/** Small makers of strokes, protocols and trials for the tests of core. */
import { calibrate, type CalibrationPoint } from '../../core/sensor/calibration.ts';
import type { Hand } from '../../core/base/hand.ts';
import type { Pool } from '../../core/day/day.ts';
import type { Protocol } from '../../core/protocol/protocol.ts';
import {
  EVENTS,
  type EventName,
  type Mark,
  type Marks,
  type Section,
  type Stroke,
} from '../../core/stroke/stroke.ts';
import type { TextTable } from '../../core/base/table.ts';
import { sampleRows, type SampledTrace } from '../../core/force/trace.ts';
import type { HandInput, TrialInput } from '../../core/trial/result.ts';

/** A mark at a time in s, with a standard uncertainty of 4 ms on film unless told otherwise. */
export function mark(timeS: number, uS: number | null = 0.004, clock: Mark['clock'] = 'video'): Mark {
  return { timeS, uS, clock, sharedUS: 0, clockUS: 0 };
}

/** Marks from times in s by event. */
export function marks(times: Partial<Record<EventName, number>>): Marks {
  return Object.fromEntries(Object.entries(times).map(([event, time]) => [event, mark(time)]));
}

const PROPULSION = ['propulsion_start', 'propulsion_end'] as const;

export function stroke(
  hand: Hand,
  number: number,
  times: Partial<Record<EventName, number>>,
  judged: Partial<Pick<Stroke, 'entryPosition' | 'entryHeightCm' | 'breath' | 'exclusionReason'>> = {},
): Stroke {
  const propulsionClocks = PROPULSION.flatMap((event) =>
    times[event] === undefined ? [] : ['video' as const],
  );
  const unjudged = { entryPosition: null, entryHeightCm: null, breath: null, exclusionReason: null };
  return { hand, number, marks: marks(times), propulsionClocks, ...unjudged, ...judged };
}

/** A stroke of which only the propulsion is marked, s. */
export function pull(hand: Hand, number: number, startS: number, endS?: number): Stroke {
  return stroke(hand, number, {
    propulsion_start: startS,
    ...(endS === undefined ? {} : { propulsion_end: endS }),
  });
}

/** A whole stroke: seven marks spread over a second from its water entry, s. */
export function wholeStroke(hand: Hand, number: number, entryS: number): Stroke {
  const after = [0, 0.15, 0.32, 0.3, 0.5, 0.72, 0.8];
  return stroke(hand, number, Object.fromEntries(EVENTS.map((event, k) => [event, entryS + after[k]!])), {
    entryPosition: 'above',
  });
}

export const PROTOCOL: Protocol = {
  name: '20 m sprint to the wall',
  stroke: 'front crawl',
  runM: 20,
  sectionFromWallM: [10, 0],
  sectionUM: 0.02,
  sectionPoints: { start: 'head', end: 'head' },
  attempts: 2,
  restMinS: 180,
  markingUS: 0,
  tapOffsetMm: 10,
  speedVariationPct: null,
  filter: { kind: 'none' },
  accept: {
    minStrokesPerHand: 2,
    maxGapMs: 20,
    maxSaturatedFraction: 0.001,
    maxZeroShiftKpa: 0.15,
    maxCheckDeviationKpa: null,
  },
};

/** A pool whose water is not known: 9775 N/m³ stands in. */
export const POOL: Pool = { lengthM: 25, waterTemperatureC: null, latitudeDeg: null, altitudeM: null };

/** Calibration points of raw = intercept + sensitivity × kPa, with a residual of ±1 raw. */
export function calibrationPoints(intercept = 1000, sensitivity = 100): CalibrationPoint[] {
  return [0, 5, 10, 15, 10, 5, 0].map((appliedKpa, k) => ({
    appliedKpa,
    raw: intercept + sensitivity * appliedKpa + (k % 2 === 0 ? 1 : -1),
    direction: k < 4 ? 'up' : 'down',
  }));
}

export const HAND: HandInput = {
  calibration: calibrate(calibrationPoints(), 15)!,
  calibrationVerdict: 'accepted',
  elsewhere: null,
  zeros: { before: 1000, after: 1000 },
  dayZeros: { before: null, after: null },
  hasColumn: true,
  check: null,
  areaCm2: 150,
  areaUCm2: 3,
  rawMin: 0,
  rawMax: 65535,
};

/** A trace of evenly spaced samples at 100 Hz from 0 s, the same raw value of a time for both hands. */
export function trace(raw: (timeS: number) => number, seconds = 8, rateHz = 100): SampledTrace {
  const timeS = Float64Array.from({ length: seconds * rateHz + 1 }, (_, k) => k / rateHz);
  return sampledFrom(timeS, timeS.map(raw), timeS.map(raw));
}

/** A trace from row times and raw values; NaN is a missing sample. */
export function sampledFrom(
  timeS: Float64Array,
  left: Float64Array,
  right: Float64Array | null,
): SampledTrace {
  const lines = Uint32Array.from(timeS, (_, k) => k + 2);
  return sampleRows({ timeS, rateHz: null, lines, left, right }).trace!;
}

export const SECTION: Section = { startS: 1, endS: 7 };

/** Alternating whole strokes of both hands, one a second per hand, the right half a second later. */
export function swim(perHand = 6): Stroke[] {
  return Array.from({ length: perHand }, (_, k) => [
    wholeStroke('left', k + 1, k + 0.5),
    wholeStroke('right', k + 1, k + 1),
  ]).flat();
}

/** A trial that is good in every way, to spoil one thing at a time. */
export function trialInput(change: Partial<TrialInput> = {}): TrialInput {
  return {
    protocol: PROTOCOL,
    pool: POOL,
    trace: trace((t) => 1000 + 400 * (1 + Math.sin(2 * Math.PI * t))),
    hands: { left: HAND, right: HAND },
    section: SECTION,
    timingUS: 0.005,
    strokes: swim(),
    clock: { offsetS: 0.25, rate: 1, residualS: null, pairs: 1 },
    rater: 'R1',
    flags: [],
    ...change,
  };
}

/** A text table from lines of comma-separated cells, as a reader of files would hand it over. */
export function textTable(file: string, header: string, ...rows: readonly string[]): TextTable {
  return {
    file,
    header: header.split(','),
    unclosed: [],
    decimalComma: true,
    rows: rows.map((row, k) => ({ line: k + 2, cells: row.split(',') })),
  };
}
