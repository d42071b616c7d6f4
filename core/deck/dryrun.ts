/**
 * The dry run before the first swimmer: tap the left sensor once, the right one twice, with a flash in the picture. Are
 * both sensors alive, did the taps come on the channels they were given on, and do the clocks of trace and film agree?
 * Limits: common practice, no source.
 */
import { largest, smallest } from '../base/extent.ts';
import { type Hand, HANDS } from '../base/hand.ts';
import type { Calibration } from '../sensor/calibration.ts';
import type { SampledTrace, Channel } from '../force/trace.ts';
import { saturatedFraction } from '../force/gaps.ts';
import { figures } from '../base/words.ts';
import { median, mean } from '../base/statistics.ts';
import { proposeSpike } from '../clock/proposal.ts';
import { type ClockPair, type ClockLine, fitClock } from '../clock/clock.ts';
import type { ClockReading } from '../clock/quality.ts';

export interface DryRunReport {
  /** Each hand's sensor: alive or not, and why. */
  readonly hands: Readonly<
    Record<Hand, { readonly alive: boolean; readonly tapsS: readonly number[]; readonly says: string }>
  >;
  /** Whether the taps came on the channels they were given on; null where that cannot be told. */
  readonly channelsRight: boolean | null;
  readonly channelsSay: string;
}

/** The sensor that a hand wears. */
export interface DryRunHand {
  readonly rawMin: number | null;
  readonly rawMax: number | null;
  /** Raw per kPa; null where it is not known. */
  readonly scale: Pick<Calibration, 'sensitivityRawPerKpa'> | null;
}

/** A step of a tap from one sample to the next, kPa; without a calibration, part of what the channel spans. */
const LEAST_STEP_KPA = 0.2;

const LEAST_STEP_PART = 0.05;

/** A knock lower than this part of the channel's highest is shaking, no tap. */
const LEAST_TAP_PART = 0.3;

/** A knock that both channels show within so many seconds belongs to the one where it is this many times larger. */
const TOGETHER_S = 0.05;

const SHAKEN = 3;

/** How long after its first step a tap has its top, s. */
const TOP_WITHIN_S = 0.1;

/** A finger still presses where the channel between two steps stays above this part of the tap. */
const PRESSED_PART = 0.3;

const MOST_SATURATED = 0.05;

interface Tap {
  readonly timeS: number;
  /** Largest distance from the channel's rest, kPa; raw without a calibration. */
  readonly size: number;
}

/** Reports on the trace of a dry run. */
export function reportDryRun(input: {
  readonly trace: SampledTrace;
  readonly hands: Readonly<Record<Hand, DryRunHand>>;
}): DryRunReport {
  const { trace, hands } = input;
  const listened = (hand: Hand) => {
    const channel = trace[hand];
    const dead = deadFault(hand, channel, hands[hand]);
    return { dead, taps: channel === null || dead !== null ? [] : tapsOf(channel, trace, hands[hand]) };
  };
  const [left, right] = [listened('left'), listened('right')];
  // Sizes compare only where both are in kPa.
  const inKpa = HANDS.every((hand) => hands[hand].scale !== null);
  const taps = inKpa
    ? { left: unshaken(left.taps, right.taps), right: unshaken(right.taps, left.taps) }
    : { left: left.taps, right: right.taps };
  const about = (hand: Hand, dead: string | null) => ({
    alive: dead === null,
    tapsS: taps[hand].map(({ timeS }) => timeS),
    says: dead ?? `The ${hand} sensor is alive, and ${tapWords(taps[hand].length)} found on it.`,
  });
  return {
    hands: { left: about('left', left.dead), right: about('right', right.dead) },
    ...judgeChannels(taps.left.length, taps.right.length, left.dead !== null || right.dead !== null),
  };
}

function tapWords(count: number): string {
  if (count === 0) return 'no tap was';
  return count === 1 ? '1 tap was' : `${count} taps were`;
}

/** Why a channel is not alive, one sentence; null where it is. */
function deadFault(hand: Hand, channel: Channel | null, { rawMin, rawMax }: DryRunHand): string | null {
  const check = 'Check plug, cable and sensor.';
  if (channel === null) return `The ${hand} sensor has no samples in the trace. Check its column. ${check}`;
  const values = [...new Set(channel.raw)];
  // A still sensor has noise; a channel with nothing on it holds one value, or flickers between two.
  if (values.length <= 2)
    return `The ${hand} sensor is dead: its raw value ${values.length === 1 ? `is ${figures(values[0]!, 6)} throughout` : 'only flickers between two values'}. ${check}`;
  const share = saturatedFraction(channel, rawMin, rawMax);
  return share > MOST_SATURATED
    ? `The ${hand} sensor is at the end of its range for ${figures(100 * share, 2)} % of the samples; ${100 * MOST_SATURATED} % is the limit. ${check}`
    : null;
}

/** The taps on a channel, in the order of time. */
function tapsOf(channel: Channel, trace: SampledTrace, { scale }: DryRunHand): readonly Tap[] {
  const raw = channel.raw.slice();
  for (const { first, last } of channel.gaps) raw.fill(NaN, first, last + 1);
  const rest = median(channel.raw)!;
  const size = scale === null ? 1 : Math.abs(scale.sensitivityRawPerKpa);
  const off = channel.raw.map((value) => Math.abs(value - rest) / size);
  const highest = off.reduce((most, value) => Math.max(most, value), 0);
  const leastStep = scale === null ? LEAST_STEP_PART * highest : LEAST_STEP_KPA * size;
  const spikes = proposeSpike(raw, trace, leastStep);
  if (!spikes.ok) return [];
  const top = Math.round(TOP_WITHIN_S * trace.rateHz);
  const taps: (Tap & { readonly index: number })[] = [];
  for (const { timeS, index } of spikes.value) {
    const before = taps.at(-1);
    const between = before === undefined ? [] : off.subarray(before.index + 1, index);
    if (before !== undefined && between.every((value) => value > PRESSED_PART * before.size)) continue;
    const height = off.subarray(index, index + top + 1).reduce((most, value) => Math.max(most, value), 0);
    taps.push({ timeS, index, size: height });
  }
  const largest = taps.reduce((most, tap) => Math.max(most, tap.size), 0);
  return taps.filter((tap) => tap.size >= LEAST_TAP_PART * largest);
}

/** Without what is only the shaking of a tap on the other sensor. */
function unshaken(own: readonly Tap[], others: readonly Tap[]): readonly Tap[] {
  return own.filter((tap) =>
    others.every((other) => Math.abs(other.timeS - tap.timeS) > TOGETHER_S || other.size < SHAKEN * tap.size),
  );
}

function judgeChannels(
  left: number,
  right: number,
  anyDead: boolean,
): Pick<DryRunReport, 'channelsRight' | 'channelsSay'> {
  const found = `${left} on the left channel and ${right} on the right`;
  if (left === 1 && right === 2)
    return {
      channelsRight: true,
      channelsSay: `The taps came on the channels they were given on: ${found}.`,
    };
  if (left === 2 && right === 1)
    return {
      channelsRight: false,
      channelsSay: `The channels look swapped: ${found}. If the left sensor was tapped once and the right one twice, change the plugs, or the columns of the two hands.`,
    };
  return {
    channelsRight: null,
    channelsSay: `Which sensor is on which channel cannot be told: taps found, ${found}; 1 and 2 are expected. ${anyDead ? 'Bring both sensors to life first, then tap' : 'Tap'} again, the left sensor once, the right one twice, a second apart and short.`,
  };
}

export interface ClockMeeting {
  /** Null where that cannot be told. */
  readonly meet: boolean | null;
  /** Which tap is which flash; empty where it is not known. */
  readonly pairs: readonly ClockPair[];
  /** The camera's clock by these pairs; its residual is null below three. */
  readonly clock: ClockLine | null;
  /** Trace time less film time, mean, and largest less smallest of the pairs, s; null without a pair. */
  readonly offsetS: number | null;
  readonly spreadS: number | null;
  /** One sentence or two: what was found and what to do. */
  readonly says: string;
}

/** More moments than this are no taps of a dry run. */
const MOST_MOMENTS = 12;

/** Two quartz clocks differ by less than this (common practice, no source). */
const MOST_RATE_OFF = 500e-6;

/**
 * Pairs taps with flashes and says whether the clocks agree: the time of the trace less that of the film must be the same
 * for every tap, but for what reading the first frame and the first sample leave open, one step of each. Over a dry run
 * two quartz clocks differ by much less than a frame.
 * @param tapsS moments of the taps on the trace, of both hands, s
 * @param flashesS moments of the flashes on the film: the first frame that shows each, s
 * Where one of them has more moments, the pairing that leaves the smallest spread is taken.
 */
export function meetClocks(
  tapsS: readonly number[],
  flashesS: readonly number[],
  reading: ClockReading,
): ClockMeeting {
  const nothing = (says: string): ClockMeeting => ({
    meet: null,
    pairs: [],
    clock: null,
    offsetS: null,
    spreadS: null,
    says,
  });
  const [taps, flashes] = [tapsS, flashesS].map((times) => times.toSorted((a, b) => a - b)) as [
    number[],
    number[],
  ];
  if (taps.length === 0 || flashes.length === 0)
    return nothing(
      `Nothing joins the clocks: ${taps.length} taps on the trace and ${flashes.length} flashes on the film. Tap again with the flash in the picture.`,
    );
  if (taps.length > MOST_MOMENTS || flashes.length > MOST_MOMENTS)
    return nothing(
      `${taps.length} taps and ${flashes.length} flashes are too many to pair; ${MOST_MOMENTS} of each are the limit. Tap again, three times in all.`,
    );
  const ways = pairings(taps, flashes).toSorted((a, b) => a.spreadS - b.spreadS);
  const best = ways[0]!;
  const allowed = allowedS(best.pairs, reading);
  const rival = ways.find((way) => Math.abs(way.offsetS - best.offsetS) > (allowed ?? 0));
  if (rival !== undefined && rival.spreadS <= (allowed ?? best.spreadS))
    return nothing(
      `${taps.length} taps on the trace and ${flashes.length} on the film fit in more than one way. Tap again, with the flash in the picture for each tap and pauses that differ.`,
    );
  const at = `The film’s zero lies at ${best.offsetS.toFixed(3)} s of the trace`;
  const known = { ...best, clock: fitClock(best.pairs) };
  if (best.pairs.length === 1)
    return { ...known, meet: null, says: `${at} by one pair, which nothing checks. Tap three times in all.` };
  const spread = `the ${best.pairs.length} pairs differ by ${ms(best.spreadS)}`;
  if (allowed === null)
    return {
      ...known,
      meet: null,
      says: `${at}; ${spread}. Frame interval or sampling rate is not known, so it cannot be said whether that is much.`,
    };
  const limit = `a frame and a sample explain ${ms(allowed)}`;
  return best.spreadS <= allowed
    ? { ...known, meet: true, says: `The clocks meet: ${spread}; ${limit}. ${at}.` }
    : {
        ...known,
        meet: false,
        says: `The clocks do not meet: ${spread}; ${limit}. See that each flash is that of its tap, and check the film’s frame rate and the sampling rate.`,
      };
}

interface Pairing {
  readonly pairs: readonly ClockPair[];
  readonly offsetS: number;
  readonly spreadS: number;
}

/** Every way to pair the shorter series, whole and in order, with a part of the longer one. */
function pairings(taps: readonly number[], flashes: readonly number[]): readonly Pairing[] {
  const count = Math.min(taps.length, flashes.length);
  return partsOf(taps, count).flatMap((some) =>
    partsOf(flashes, count).map((seen) => {
      const pairs = some.map((traceS, k) => ({ traceS, videoS: seen[k]! }));
      const offsets = pairs.map(({ traceS, videoS }) => traceS - videoS);
      return { pairs, offsetS: mean(offsets)!, spreadS: largest(offsets) - smallest(offsets) };
    }),
  );
}

function partsOf(times: readonly number[], count: number): readonly (readonly number[])[] {
  if (count === 0) return [[]];
  return times.flatMap((first, k) => partsOf(times.slice(k + 1), count - 1).map((rest) => [first, ...rest]));
}

function allowedS(pairs: readonly ClockPair[], { frameStepS, sampleStepS }: ClockReading): number | null {
  if (frameStepS === null || sampleStepS === null) return null;
  const spanS = pairs.at(-1)!.traceS - pairs[0]!.traceS;
  return frameStepS + sampleStepS + MOST_RATE_OFF * spanS + 1e-9;
}

function ms(seconds: number): string {
  return `${(1000 * seconds).toFixed(0)} ms`;
}
