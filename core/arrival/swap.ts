/**
 * Do the two channels look as if each hand wore the other's sensor? The raw zero at the quiet start of each channel is
 * held against the zero of its own sensor and of the other one. A zero moves by itself, so this is a hint and never a
 * proof, and it says nothing where the zeros of the two sensors lie close together.
 */
import { largest, smallest } from '../base/extent.ts';
import type { Calibration } from '../sensor/calibration.ts';
import { type Hand, HANDS } from '../base/hand.ts';
import type { HandMeasures } from './hand.ts';
import { type ArrivalFinding, type Judged, unjudged, handFindings, untold, finding } from './findings.ts';

/** How far a zero moves by itself where the protocol sets no limit, kPa (common practice, no source). */
const USUAL_SHIFT_KPA = 0.15;

/** Crossed over, the zeros must fit so many times better (common practice, no source). */
const CLEARLY = 3;

interface Known {
  /** Raw zero at the quiet start of this hand's channel. */
  readonly level: number;
  /** Raw zero of its sensor, read earlier today or by its calibration. */
  readonly zero: number;
  readonly from: 'earlier' | 'calibration';
  readonly calibration: Calibration;
}

/**
 * @param hands both hands' measures
 * @param earlierRaw zero of each hand's own sensor known from earlier today, raw
 * @param maxShiftKpa how far a zero may move, kPa; null where no limit is set
 * Returns nothing where a hand has no samples.
 */
export function judgeSwap(
  hands: Readonly<Record<Hand, HandMeasures | null>>,
  earlierRaw: Readonly<Record<Hand, number | null>>,
  maxShiftKpa: number | null,
): readonly ArrivalFinding[] {
  const { left, right } = hands;
  if (left === null || right === null) return [];
  const [ofLeft, ofRight] = [known(left, earlierRaw.left), known(right, earlierRaw.right)];
  const title = 'Hands swapped, by the zeros';
  if (typeof ofLeft === 'string' || typeof ofRight === 'string') {
    const because = (of: Known | string): Judged | null =>
      typeof of === 'string' ? unjudged(`cannot be told (${of})`) : null;
    return handFindings('hands', title, { left: because(ofLeft), right: because(ofRight) });
  }
  const shift = maxShiftKpa ?? USUAL_SHIFT_KPA;
  const both = { left: ofLeft, right: ofRight };
  // Each sensor's zero as the other's sensor would have to read it, kPa.
  const apart = HANDS.map((hand) => Math.abs(offKpa(both[other(hand)].zero, both[hand])));
  if (smallest(apart) < 2 * shift)
    return [
      untold(
        'hands',
        `${title}: cannot be told, for the zeros of the two sensors lie ${smallest(apart).toFixed(2)} kPa apart and one moves by up to ${shift} kPa.`,
      ),
    ];
  const own = HANDS.map((hand) => Math.abs(offKpa(both[hand].level, both[hand])));
  const crossed = HANDS.map((hand) => Math.abs(offKpa(both[other(hand)].level, both[hand])));
  const fitsCrossed = HANDS.every((_, k) => own[k]! > shift && crossed[k]! * CLEARLY < own[k]!);
  if (!fitsCrossed) return [finding('hands', 'good', `${title}: they do not look so.`)];
  const [first, second] = own.map((value) => value.toFixed(2));
  const worst = largest(crossed).toFixed(2);
  const where = HANDS.some((hand) => both[hand].from === 'calibration') ? 'calibration' : 'earlier zeros';
  return [
    finding(
      'hands',
      'look',
      `Look whether the hands are swapped: at the quiet start the left channel lies ${first} kPa and the right ${second} kPa from the zero of its own sensor, and within ${worst} kPa of the other’s (by ${where}; a zero moves by itself by up to ${shift} kPa, so this is a hint, no proof). See which sensor each hand wears.`,
      startOf(left, right),
    ),
  ];
}

function other(hand: Hand): Hand {
  return hand === 'left' ? 'right' : 'left';
}

/** How far a raw level lies from a sensor's own zero, kPa by that sensor. */
function offKpa(level: number, { zero, calibration }: Known): number {
  return (level - zero) / calibration.sensitivityRawPerKpa;
}

function known({ quiet, input }: HandMeasures, earlierRaw: number | null): Known | string {
  const { calibration, elsewhere } = input;
  if (elsewhere !== null) return 'values calibrated elsewhere';
  if (calibration === null) return 'no calibration';
  if (quiet.start === null) return 'no quiet stretch at the start';
  return {
    level: quiet.start.mean,
    zero: earlierRaw ?? calibration.interceptRaw,
    from: earlierRaw === null ? 'calibration' : 'earlier',
    calibration,
  };
}

function startOf(left: HandMeasures, right: HandMeasures) {
  const stretches = [left.quiet.start, right.quiet.start].flatMap((start) => start ?? []);
  return {
    startS: smallest(stretches.map(({ startS }) => startS)),
    endS: largest(stretches.map(({ endS }) => endS)),
  };
}
