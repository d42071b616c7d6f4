/**
 * What a hand's channel shows on arrival, held against the protocol's limits. A limit that is not the protocol's stands
 * here as a constant and is common practice, no source.
 */
import { largest, smallest } from '../base/extent.ts';
import type { Hand } from '../base/hand.ts';
import { type HandMeasures, stuckStretch, QUIET_LEAST_S } from './hand.ts';
import type { Section } from '../stroke/stroke.ts';
import type { ContentLimits } from '../protocol/content.ts';
import { type Judged, good, again, look, unjudged, type Stretch } from './findings.ts';
import { longGaps, touchesGap } from '../force/gaps.ts';
import { percent, counted, figures, seconds, signed } from '../base/words.ts';
import { kpaScaleOf } from '../trial/hand.ts';
import { zeroShiftKpa } from '../sensor/calibration.ts';

/** A median stroke peak should be this many times the SD of the quietest second. */
const LEAST_SIGNAL_TO_NOISE = 10;

/** A hand that moves over less than this part of what the other moves over is dead or hardly connected. */
const LEAST_SPAN_PART = 0.05;

/** No swim moves over less, kPa: 3 cm of water. */
const LEAST_SPAN_KPA = 0.3;

/** A raw value that never changes for so long while the swimmer swims is stuck, s. */
const STUCK_S = 1;

/** The level between strokes is an estimate of the zero: it may move by this part of the limit. */
const REST_SHIFT_PART = 0.5;

/** The stroke counter may be off by so many strokes. */
export const COUNT_ERROR = 1;

/** Gaps against the protocol's limit; one in the section costs the trial. */
export function judgeGaps(
  hand: Hand,
  found: HandMeasures,
  section: Section | null,
  limits: ContentLimits,
): Judged {
  const { channel, trace, longestGapMs } = found;
  const { maxGapMs } = limits;
  const long = longGaps(channel, trace.rateHz, maxGapMs);
  const length = `${longestGapMs.toFixed(0)} ms`;
  if (long.length === 0) return good(longestGapMs === 0 ? 'none' : `${length} at most`);
  const worst = (some: typeof long) =>
    some.reduce((most, gap) => (gap.last - gap.first > most.last - most.first ? gap : most));
  const inside =
    section === null ? [] : long.filter((gap) => touchesGap(trace, gap, section.startS, section.endS));
  const gap = worst(inside.length > 0 ? inside : long);
  const stretch = {
    startS: trace.startS + gap.first / trace.rateHz,
    endS: trace.startS + gap.last / trace.rateHz,
  };
  const lost = `The ${hand} hand lost ${((1000 * (gap.last - gap.first + 1)) / trace.rateHz).toFixed(0)} ms of samples at ${stretch.startS.toFixed(2)} s`;
  const limit = `the limit is ${maxGapMs} ms`;
  if (inside.length > 0) return again(`${lost}, in the section; ${limit}.`, stretch);
  return section === null
    ? look(
        `${lost}; ${limit}. Whether it lies in the section is not known before the section times are set.`,
        stretch,
      )
    : look(`${lost}, outside the section; ${limit}.`, stretch);
}

/** Share of samples at an end of the sensor's range. */
export function judgeSaturation(hand: Hand, found: HandMeasures, limits: ContentLimits): Judged {
  const { saturatedFraction: share, saturatedRun, input } = found;
  const { maxSaturatedFraction: limit } = limits;
  if (input.rawMin === null && input.rawMax === null)
    return unjudged('cannot be told, for the ends of the sensor’s raw range are not given');
  if (share === 0) return good('none');
  const says = `${percent(share)} of the ${hand} hand’s samples are at the end of the sensor’s range`;
  if (limit === null) return look(`${says}; the protocol sets no limit.`, saturatedRun);
  if (share <= limit) return good(`${percent(share)}`);
  return again(
    `${says}; the limit is ${percent(limit)}. The peaks are cut off: wear a sensor of a larger range.`,
    saturatedRun,
  );
}

/** Dead, stuck, or without a force. `other` is the other hand; null where it has no samples. */
export function judgeChannel(
  hand: Hand,
  found: HandMeasures,
  other: HandMeasures | null,
  forceFault: string | null,
): Judged {
  if (found.rawDigits <= 1)
    return again(
      `The ${hand} hand’s channel is dead: over the whole trace its raw value changes by ${counted(found.rawDigits, 'digit')}. Check plug and cable.`,
    );
  if (isFaint(found))
    return again(
      `The ${hand} hand’s channel hardly moves: over ${figures(spanKpa(found)!)} kPa in the whole trace; below ${LEAST_SPAN_KPA} kPa passes for dead. Check plug, cable and sensor.`,
    );
  if (isWeak(found, other)) {
    const [own, others, unit] = spansOf(found, other!);
    return again(
      `The ${hand} hand’s channel hardly moves: over ${figures(own)} ${unit}, where the other hand’s moves over ${figures(others)} ${unit}; less than ${percent(LEAST_SPAN_PART)} of that passes for dead. Check plug, cable and sensor.`,
    );
  }
  const stuck = stuckIn(found, other);
  if (stuck !== null)
    return again(
      `The ${hand} hand’s raw value does not change for ${seconds(stuck.endS - stuck.startS)} while the swimmer swims; ${seconds(STUCK_S)} is the limit. Check plug and cable.`,
      stuck,
    );
  if (forceFault !== null)
    return look(`The ${hand} hand’s samples are there but give no force: ${forceFault}.`);
  return good('alive');
}

function isWeak(found: HandMeasures, other: HandMeasures | null): boolean {
  if (other === null || other.strokes.length === 0) return false;
  const [own, others] = spansOf(found, other);
  return own < LEAST_SPAN_PART * others;
}

function isFaint(found: HandMeasures): boolean {
  const span = spanKpa(found);
  return span !== null && span < LEAST_SPAN_KPA;
}

function spanKpa({ spanRaw, input }: HandMeasures): number | null {
  const scale = kpaScaleOf(input);
  return scale === null ? null : spanRaw / Math.abs(scale.sensitivityRawPerKpa);
}

/** What both hands move over, in kPa where both are calibrated, else raw. */
function spansOf(found: HandMeasures, other: HandMeasures): readonly [number, number, 'kPa' | 'raw'] {
  const [own, others] = [spanKpa(found), spanKpa(other)];
  return own === null || others === null ? [found.spanRaw, other.spanRaw, 'raw'] : [own, others, 'kPa'];
}

/** While either hand still strokes, no sensor may hold one value. */
function stuckIn(found: HandMeasures, other: HandMeasures | null): Stretch | null {
  const strokes = [...found.strokes, ...(other?.strokes ?? [])];
  if (strokes.length === 0) return null;
  const stuck = stuckStretch(found, {
    startS: smallest(strokes.map(({ startS }) => startS)),
    endS: largest(strokes.map(({ endS }) => endS)),
  });
  return stuck !== null && stuck.endS - stuck.startS >= STUCK_S ? stuck : null;
}

/** True where the hand's channel says nothing of the swim, so that nothing on it passes for a stroke. */
export function isDead(found: HandMeasures, other: HandMeasures | null): boolean {
  return found.rawDigits <= 1 || isFaint(found) || isWeak(found, other);
}

/**
 * Shift of the zero: confirmed readings, else quiet stretches, else the level between strokes. Null without a limit, and
 * for forces, whose zero has no shift in kPa.
 */
export function judgeZero(hand: Hand, found: HandMeasures, limits: ContentLimits): Judged | null {
  const { elsewhere, zeros } = found.input;
  const { maxZeroShiftKpa: limit } = limits;
  if (limit === null || elsewhere?.quantity === 'force') return null;
  const scale = kpaScaleOf(found.input);
  if (scale === null)
    return look(`The ${hand} hand’s sensor has no calibration, so its zero shift is not known in kPa.`);
  const confirmed = zeroShiftKpa(zeros, scale);
  if (confirmed !== null) {
    if (Math.abs(confirmed) <= limit) return good(`${signed(confirmed)} kPa by the zeros read`);
    return again(
      `The ${hand} hand’s zero moved by ${signed(confirmed)} kPa between the readings before and after; the limit is ${limit} kPa.`,
    );
  }
  const quiet = quietShiftKpa(found);
  if (quiet !== null) {
    if (Math.abs(quiet) <= limit) return good(`${signed(quiet)} kPa between quiet stretches`);
    return look(
      `The ${hand} hand’s zero moved by ${signed(quiet)} kPa from the quiet stretch at the start to that at the end; the limit is ${limit} kPa. Read the zero now, hand still and both taps level; if it stays, swim again.`,
      stretchOfQuiet(found),
    );
  }
  const where = found.quiet.start === null ? 'start' : 'end';
  const why = `nothing is quiet for ${QUIET_LEAST_S} s near the ${where} of the trace`;
  const rest = found.restShiftKpa;
  if (rest === null)
    return look(
      `The ${hand} hand’s zero shift cannot be told: ${why}. Read the zero now, hand still and both taps level.`,
    );
  const most = REST_SHIFT_PART * limit;
  if (Math.abs(rest) <= most) return good(`${signed(rest)} kPa between strokes (estimate)`);
  return look(
    `The ${hand} hand’s level between strokes moved by ${signed(rest)} kPa, more than ${figures(most)} kPa, half the limit; it is an estimate of the zero, for ${why}. Read the zero now, hand still and both taps level.`,
  );
}

/** Zero at the end less zero at the start, kPa, from quiet stretches; null where one is missing. */
export function quietShiftKpa({ quiet: { start, end }, input }: HandMeasures): number | null {
  const scale = kpaScaleOf(input);
  if (scale === null || start === null || end === null) return null;
  return (end.mean - start.mean) / scale.sensitivityRawPerKpa;
}

function stretchOfQuiet({ quiet: { end } }: HandMeasures): Stretch | null {
  return end === null ? null : { startS: end.startS, endS: end.endS };
}

/** Where the section is not known, what the swimmers are expected to do tells about how many strokes it holds. */
export interface ExpectedSection {
  readonly lengthM: number;
  readonly velocityMS: number;
}

/** Strokes found against the number that must count. */
export function judgeStrokes(
  hand: Hand,
  found: HandMeasures,
  limits: ContentLimits,
  expected: ExpectedSection,
): Judged {
  const { strokes, inSection } = found;
  const least = limits.minStrokesPerHand ?? 0;
  const whole = strokes.length;
  if (whole === 0)
    return again(
      `No stroke of the ${hand} hand was found in the whole trace; at least ${Math.max(least, 1)} must count.`,
    );
  const asked = `the protocol asks for ${least}`;
  const estimate = `an estimate, right to ±${COUNT_ERROR}`;
  const [count, where] = inSection === null ? [whole, 'whole trace'] : [inSection, 'section'];
  if (count < least - COUNT_ERROR)
    return again(
      `${counted(count, 'stroke')} of the ${hand} hand found in the ${where} (${estimate}); ${asked}.`,
    );
  if (count < least)
    return look(
      `${counted(count, 'stroke')} of the ${hand} hand found in the ${where}; ${asked}. The count is ${estimate}: count by eye.`,
    );
  if (inSection !== null) return good(`${inSection} in the section, ${whole} in all`);
  const about = expectedStrokes(found, expected);
  if (least > 0 && (about === null || about < least))
    return look(
      `${counted(whole, 'stroke')} of the ${hand} hand found in the whole trace${about === null ? '' : `, about ${about} of them in the section at the expected velocity`}; ${asked}. Set the section times to see how many lie in it.`,
    );
  return good(
    about === null
      ? `${whole} in all`
      : `${whole} in all, about ${about} in the section, whose times are not set`,
  );
}

/** Strokes that lie whole in the section, at least, at the expected velocity and the hand's own rate. */
function expectedStrokes(
  { strokes, intervalS }: HandMeasures,
  { lengthM, velocityMS }: ExpectedSection,
): number | null {
  if (intervalS === null || !(intervalS > 0)) return null;
  const lastsS = strokes.reduce((sum, { startS, endS }) => sum + (endS - startS), 0) / strokes.length;
  return Math.max(0, Math.floor((lengthM / velocityMS - lastsS) / intervalS));
}

/** Median stroke peak against the scatter of the quietest second. Null where no stroke was found. */
export function judgeNoise(hand: Hand, found: HandMeasures): Judged | null {
  const { peak, quietest, unit } = found;
  if (peak === null) return null;
  if (quietest === null)
    return look(`The ${hand} hand’s noise cannot be told: no second of the trace is free of gaps.`);
  if (quietest.sd === 0) return good('noise below a digit');
  const ratio = (peak - quietest.mean) / quietest.sd;
  if (ratio >= LEAST_SIGNAL_TO_NOISE) return good(`${figures(ratio, 2)} : 1`);
  return look(
    `The ${hand} hand’s strokes peak at ${figures(peak)} ${unit}, ${figures(ratio, 2)} times the SD of ${figures(quietest.sd)} ${unit} in the quietest second; at least ${LEAST_SIGNAL_TO_NOISE} times is usual. Check plug, cable and tubes.`,
  );
}
