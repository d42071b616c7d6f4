/** A swim made for the tests of the check on arrival, to spoil one thing at a time. */
import { reportArrival, type ArrivalReport, type ArrivalInput } from '../../../core/arrival/report.ts';
import type { SampledTrace } from '../../../core/force/trace.ts';
import { trialSeries } from '../../../core/trial/trial.ts';
import { type TrialInput } from '../../../core/trial/result.ts';
import { HAND, POOL, PROTOCOL, sampledFrom } from '../build.ts';

export const RATE = 200;
const LASTS_S = 14;

/** Pressure of a hand, kPa: still for 2 s and for the last 2 s; half-sine strokes of 6 kPa every 1.2 s between. */
function kpaAt(timeS: number, laterS: number): number {
  const t = timeS - 2 - laterS;
  if (t < 0 || t > 8 * 1.2) return 0;
  const phase = (t % 1.2) / 0.5;
  return phase < 1 ? 6 * Math.sin(Math.PI * phase) : 0;
}

/** Small and the same on every run, between −1 and 1. */
export function rough(k: number): number {
  return 2 * ((k * 0.6180339887) % 1) - 1;
}

export type Change = (raw: number, timeS: number) => number;
export const same: Change = (raw) => raw;

export function traceOf(
  { left = same, right = same }: { left?: Change; right?: Change } = {},
  seconds = LASTS_S,
) {
  const timeS = Float64Array.from({ length: seconds * RATE + 1 }, (_, k) => k / RATE);
  const channel = (laterS: number, change: Change) =>
    timeS.map((t, k) => change(1000 + Math.round(100 * kpaAt(t, laterS) + 2 * rough(k)), t));
  return sampledFrom(timeS, channel(0, left), channel(0.6, right));
}

const UNREAD = { before: null, after: null };
export const QUIET_HAND = { ...HAND, zeros: UNREAD };

export function inputOf(change: {
  trace?: SampledTrace | null;
  trial?: Partial<TrialInput>;
  input?: Partial<ArrivalInput>;
}): ArrivalInput {
  const trial: TrialInput = {
    protocol: PROTOCOL,
    pool: POOL,
    trace: change.trace === undefined ? traceOf() : change.trace,
    hands: { left: QUIET_HAND, right: QUIET_HAND },
    section: { startS: 5, endS: 11 },
    timingUS: null,
    strokes: [],
    clock: null,
    rater: null,
    flags: [],
    ...change.trial,
  };
  return {
    protocol: {
      runM: 20,
      sectionFromWallM: [10, 0],
      rateHz: RATE,
      accept: { ...PROTOCOL.accept, minStrokesPerHand: 3 },
      expected: { velocityMS: 1.7, strokeLengthM: 2, glideM: 5 },
    },
    trial,
    series: trialSeries(trial),
    traceFault: null,
    refusedRows: 0,
    cameras: [],
    films: [],
    earlierZeroRaw: { left: null, right: null },
    cameraOnly: false,
    mayStillCome: false,
    ...change.input,
  };
}

export function check(change: Parameters<typeof inputOf>[0] = {}): ArrivalReport {
  return reportArrival(inputOf(change));
}

export function bad({ findings }: ArrivalReport): string[] {
  return findings
    .filter(({ verdict }) => verdict !== 'good')
    .map(({ verdict, about, hand }) => [verdict, about, ...(hand === null ? [] : [hand])].join(' '));
}

export function says({ findings }: ArrivalReport, about: string): string {
  return findings
    .filter((finding) => finding.about === about)
    .map((finding) => finding.says)
    .join(' ');
}
