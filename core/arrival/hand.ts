/**
 * What one hand's channel shows on arrival: strokes, gaps, saturation, stretches that hold still, noise. Measured here,
 * judged in core/arrivaljudge.ts. Where force is not known, pressure in kPa or else raw is looked at.
 */
import type { RawSeries } from '../base/units.ts';
import type { Channel, SampledTrace } from '../force/trace.ts';
import { gapMs, saturatedFraction } from '../force/gaps.ts';
import type { HandInput, TrialInput, TrialSeries } from '../trial/result.ts';
import { type CountedStroke, countStrokes } from '../force/strokecounter.ts';
import type { Stretch } from './findings.ts';
import { type ZeroProposal, proposeZero, STILL_SD_KPA } from '../force/zero.ts';
import type { Hand } from '../base/hand.ts';
import { median } from '../base/statistics.ts';
import type { Section } from '../stroke/stroke.ts';
import { kpaScaleOf, zeroOf } from '../trial/hand.ts';
import { pressureDifference } from '../force/force.ts';
import { windowScatter } from '../force/plateau.ts';

export interface HandMeasures {
  readonly channel: Channel;
  readonly trace: SampledTrace;
  readonly input: HandInput;
  /** What `load` and the peaks of `strokes` are in. */
  readonly unit: 'N' | 'kPa' | 'raw';
  /** On the trace's grid, gaps filled. */
  readonly load: Float64Array;
  readonly strokes: readonly CountedStroke[];
  /** Strokes that lie in the section; null where it is not known. */
  readonly inSection: number | null;
  /** Median time from one stroke's peak to the next, s; null below two strokes. */
  readonly intervalS: number | null;
  /** Median of the strokes' peaks in `unit`; null without a stroke. */
  readonly peak: number | null;
  /** The quietest second: mean and SD in `unit`; null where no second is free of gaps. */
  readonly quietest: { readonly mean: number; readonly sd: number } | null;
  readonly longestGapMs: number;
  readonly saturatedFraction: number;
  /** The longest run of samples at an end of the raw range; null where there is none. */
  readonly saturatedRun: Stretch | null;
  /** 98 % of all samples lie within this, raw. */
  readonly spanRaw: number;
  /** Largest less smallest raw value, in steps of the converter; 0 where nothing changes. */
  readonly rawDigits: number;
  /** Zeros that quiet stretches at the two ends propose; null where nothing is quiet, or without a scale in kPa. */
  readonly quiet: Readonly<Record<'start' | 'end', ZeroProposal | null>>;
  /** How far the level between the strokes moved, kPa; null below five strokes or without a scale in kPa. */
  readonly restShiftKpa: number | null;
}

const QUIETEST_S = 1;

/** A zero on deck is read over a short stillness, near the ends (common practice, no source). */
export const QUIET_LEAST_S = 0.5;

const QUIET_WITHIN_S = 5;

/** Rests between strokes at each end that are compared, at most and at least… */
const RESTS = [3, 2] as const;

/** …and the part of a rest's samples that lies below the level of the hand in the air. */
const LOW_PART = 0.2;

/** Measures a hand; null where the trial has no samples of it. */
export function measureHand(input: TrialInput, series: TrialSeries, hand: Hand): HandMeasures | null {
  const { trace, section } = input;
  const channel = trace?.[hand] ?? null;
  if (trace === null || channel === null) return null;
  const about = input.hands[hand];
  const { load, unit } = loadOf(input, series, hand, trace, channel);
  const strokes = countStrokes(load, trace);
  return {
    channel,
    trace,
    input: about,
    unit,
    load,
    strokes,
    inSection: section === null ? null : strokes.filter((stroke) => liesIn(stroke, section)).length,
    intervalS: median(strokes.slice(1).map(({ peakS }, k) => peakS - strokes[k]!.peakS)),
    peak: median(strokes.map(({ peakN }) => peakN)),
    quietest: quietestOf(withGaps(load, channel), trace.rateHz),
    longestGapMs: channel.gaps.reduce((most, gap) => Math.max(most, gapMs(gap, trace.rateHz)), 0),
    saturatedFraction: saturatedFraction(channel, about.rawMin, about.rawMax),
    saturatedRun: saturatedRun(channel, trace, about),
    spanRaw: partBelow(channel.raw, 0.99) - partBelow(channel.raw, 0.01),
    rawDigits: rawDigits(channel.raw),
    quiet: quietOf(channel, trace, about),
    restShiftKpa: restShiftKpa(channel.raw, trace, about, strokes),
  };
}

/** A stroke counts in the section where it lies in it whole, as in the dataset. */
function liesIn(stroke: CountedStroke, section: Section): boolean {
  return stroke.startS >= section.startS && stroke.endS <= section.endS;
}

function loadOf(
  input: TrialInput,
  series: TrialSeries,
  hand: Hand,
  trace: SampledTrace,
  channel: Channel,
): Pick<HandMeasures, 'load' | 'unit'> {
  const { forceN } = series[hand];
  if (forceN !== null) return { load: forceN, unit: 'N' };
  const about = input.hands[hand];
  const scale = kpaScaleOf(about);
  if (scale === null) return { load: channel.raw, unit: 'raw' };
  const kpa = pressureDifference(channel.raw, trace.rateHz, zeroOf(about), scale, { kind: 'none' });
  return typeof kpa === 'string' ? { load: channel.raw, unit: 'raw' } : { load: kpa, unit: 'kPa' };
}

/** A filled stretch is a straight line and would pass for a hand that holds still. */
function withGaps(values: Float64Array, channel: Channel): Float64Array {
  const holed = values.slice();
  for (const { first, last } of channel.gaps) holed.fill(NaN, first, last + 1);
  return holed;
}

function quietestOf(load: Float64Array, rateHz: number): HandMeasures['quietest'] {
  const { mean, sd } = windowScatter(load, Math.max(2, Math.round(QUIETEST_S * rateHz)));
  let best = -1;
  for (let k = 0; k < sd.length; k++) if (sd[k]! < (sd[best] ?? Infinity)) best = k;
  return best < 0 ? null : { mean: mean[best]!, sd: sd[best]! };
}

function saturatedRun(channel: Channel, trace: SampledTrace, { rawMin, rawMax }: HandInput): Stretch | null {
  const raw = withGaps(channel.raw, channel);
  const run = longestRun(
    raw,
    (value) => (rawMin !== null && value <= rawMin) || (rawMax !== null && value >= rawMax),
  );
  return run === null ? null : stretchOf(trace, run);
}

/** The longest run of samples that a test holds for, as first and last sample; null where it holds for none. */
function longestRun(
  values: Float64Array,
  holds: (value: number, before: number) => boolean,
): readonly [number, number] | null {
  let longest: readonly [number, number] | null = null;
  let from = -1;
  values.forEach((value, k) => {
    if (!holds(value, values[k - 1] ?? NaN)) from = -1;
    else {
      if (from < 0) from = k;
      if (longest === null || k - from > longest[1] - longest[0]) longest = [from, k];
    }
  });
  return longest;
}

function stretchOf(trace: SampledTrace, [first, last]: readonly [number, number]): Stretch {
  const at = (k: number) => trace.startS + k / trace.rateHz;
  return { startS: at(first), endS: at(last) };
}

/** The longest stretch between two moments, s, in which the raw value never changes; null where it always does. */
export function stuckStretch(measures: HandMeasures, between: Stretch): Stretch | null {
  const { trace, channel } = measures;
  const at = (timeS: number) => Math.round((timeS - trace.startS) * trace.rateHz);
  const first = Math.max(0, at(between.startS));
  const raw = withGaps(channel.raw, channel).subarray(first, at(between.endS) + 1);
  const run = longestRun(raw, (value, before) => value === before);
  return run === null ? null : stretchOf(trace, [first + run[0], first + run[1]]);
}

/** The value that a part of all samples, 0…1, lies at or below. */
function partBelow(values: Float64Array, part: number): number {
  return values.slice().sort()[Math.floor(part * (values.length - 1))]!;
}

function rawDigits(raw: RawSeries): number {
  const sorted = raw.slice().sort();
  let digit = Infinity;
  for (let k = 1; k < sorted.length; k++) {
    const step = sorted[k]! - sorted[k - 1]!;
    if (step > 0 && step < digit) digit = step;
  }
  return Number.isFinite(digit) ? Math.round((sorted.at(-1)! - sorted[0]!) / digit) : 0;
}

function quietOf(channel: Channel, trace: SampledTrace, about: HandInput): HandMeasures['quiet'] {
  const scale = kpaScaleOf(about);
  if (scale === null) return { start: null, end: null };
  const raw = withGaps(channel.raw, channel);
  const at = (where: 'start' | 'end') => {
    const found = proposeZero(raw, trace, where, {
      leastS: QUIET_LEAST_S,
      withinS: QUIET_WITHIN_S,
      mostSdRaw: STILL_SD_KPA * Math.abs(scale.sensitivityRawPerKpa),
    });
    return found.ok ? found.value : null;
  };
  return { start: at('start'), end: at('end') };
}

/** Between two strokes the hand is in the air for a while: the low samples there tell the zero, and how it moved. */
function restShiftKpa(
  raw: RawSeries,
  trace: SampledTrace,
  about: HandInput,
  strokes: readonly CountedStroke[],
): number | null {
  const rests = Math.min(RESTS[0], Math.floor((strokes.length - 1) / 2));
  const scale = kpaScaleOf(about);
  if (scale === null || rests < RESTS[1]) return null;
  const at = (timeS: number) => Math.round((timeS - trace.startS) * trace.rateHz);
  const { sensitivityRawPerKpa: sensitivity } = scale;
  const levels = strokes.slice(1).map(({ startS }, k) => {
    const rest = raw.subarray(at(strokes[k]!.endS), at(startS) + 1);
    return partBelow(
      rest.map((value) => value / sensitivity),
      LOW_PART,
    );
  });
  return median(levels.slice(-rests))! - median(levels.slice(0, rests))!;
}
