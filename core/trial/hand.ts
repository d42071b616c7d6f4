/** What one hand of a trial is read with: its scale, its zero, and how uncertain its forces are (formats.md section 2). */
import type { HandInput, TrialInput } from './result.ts';
import type { Hand } from '../base/hand.ts';
import { type ZeroLine, type Calibration, zeroLine, zeroShiftKpa } from '../sensor/calibration.ts';
import { type ForceSpread, forceSpread, tapUKpa, zeroUKpa } from '../force/uncertainty.ts';

type Scale = Pick<Calibration, 'sensitivityRawPerKpa' | 'referenceZeroUKpa'>;

/**
 * Raw per kPa of a hand's column, or per N where it holds a force; null where neither a calibration nor a unit says.
 */
export function scaleOf({ calibration, elsewhere }: HandInput): Scale | null {
  if (elsewhere === null) return calibration;
  const perUnit = elsewhere.quantity === 'force' ? elsewhere.newtonsPerUnit : elsewhere.kpaPerUnit;
  return { sensitivityRawPerKpa: 1 / perUnit, referenceZeroUKpa: 0 };
}

/** Raw per kPa of a hand's column; null where nothing says, and where it holds forces. */
export function kpaScaleOf(hand: HandInput): Scale | null {
  return hand.elsewhere?.quantity === 'force' ? null : scaleOf(hand);
}

/** The zero of a hand's trial, in the unit of its column. */
export function zeroOf({ zeros, dayZeros, calibration }: HandInput): ZeroLine {
  return zeroLine(zeros, dayZeros, calibration);
}

/** Zero shift of a hand's own two readings, kPa; null without both, without a scale, and for a force from elsewhere. */
export function shiftOf(hand: HandInput): number | null {
  const scale = kpaScaleOf(hand);
  return scale === null ? null : zeroShiftKpa(hand.zeros, scale);
}

/** Standard uncertainty of a hand's zero, kPa; null where it is not known, or there is no scale. */
export function zeroUOf(hand: HandInput, maxZeroShiftKpa: number | null): number | null {
  const scale = scaleOf(hand);
  if (scale === null) return null;
  return zeroUKpa(zeroOf(hand), { trial: hand.zeros, day: hand.dayZeros }, scale, maxZeroShiftKpa);
}

const UNKNOWN: ForceSpread = { inProportion: null, inFullN: null };

/** How uncertain the forces of a hand are in this trial. */
export function handSpread({ hands, protocol, pool }: TrialInput, which: Hand): ForceSpread {
  const hand = hands[which];
  const { calibration, elsewhere, areaCm2, areaUCm2 } = hand;
  const stated = elsewhere === null || elsewhere.scaleUPct === null ? null : elsewhere.scaleUPct / 100;
  if (elsewhere?.quantity === 'force')
    return stated === null ? UNKNOWN : { inProportion: stated, inFullN: 0 };
  if (areaCm2 === null || (elsewhere === null && calibration === null)) return UNKNOWN;
  const { sensitivityU = null, sensitivityRawPerKpa = 1, residualSdKpa = null } = calibration ?? {};
  return forceSpread({
    areaCm2,
    area: areaUCm2 === null ? null : areaUCm2 / areaCm2,
    scale:
      elsewhere !== null
        ? stated
        : sensitivityU === null
          ? null
          : sensitivityU / Math.abs(sensitivityRawPerKpa),
    residualKpa: elsewhere === null ? residualSdKpa : 0,
    zeroKpa: zeroUOf(hand, protocol.accept.maxZeroShiftKpa),
    tapKpa: tapUKpa(protocol.tapOffsetMm, pool),
  });
}
