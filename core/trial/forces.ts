/** Forces of one stroke, with their uncertainties; where there are none, flags say why. */
import { addAll } from '../base/extent.ts';
import type { HandSeries, StrokeResult, TrialInput } from './result.ts';
import type { Flag } from '../stroke/flags.ts';
import type { Stroke } from '../stroke/stroke.ts';
import { largestSize, strokeForce } from '../force/force.ts';
import { type ForceSpread, forceU, impulseU } from '../force/uncertainty.ts';
import { touchesLongGap } from '../force/gaps.ts';
import { zeroUOf } from './hand.ts';

export interface StrokeForces extends Pick<StrokeResult, 'peakForce' | 'meanForce' | 'impulse'> {
  readonly flags: readonly Flag[];
}

/** Forces of a stroke over its propulsion. */
export function forcesOf(
  stroke: Stroke,
  input: TrialInput,
  series: HandSeries,
  spread: ForceSpread,
): StrokeForces {
  const { trace, protocol } = input;
  const { propulsion_start: start, propulsion_end: end } = stroke.marks;
  const flags: Flag[] = series.fault === null ? [] : [series.fault];
  const without = (flag?: Flag): StrokeForces => ({
    peakForce: null,
    meanForce: null,
    impulse: null,
    flags: flag === undefined ? flags : [...flags, flag],
  });
  const { channel, forceN, pressureKpa } = series;
  if (trace === null || channel === null || start === undefined || end === undefined) return without();
  const isLost = touchesLongGap(trace, channel, protocol.accept.maxGapMs, start.timeS, end.timeS);
  if (pressureKpa !== null && !isLost && isBeyond(pressureKpa, stroke, input))
    flags.push('beyond_calibration');
  if (forceN === null) return without();
  const force = strokeForce(forceN, trace, start.timeS, end.timeS);
  if (force === 'outside_trace') return without('outside_trace');
  if (isLost) return without('gap');
  addAll(flags, unknownParts(stroke, input));
  if (force.peakN === null) flags.push('no_sample');
  return {
    peakForce: force.peakN === null ? null : { value: force.peakN, u: forceU(force.peakN, spread) },
    meanForce: { value: force.meanN, u: forceU(force.meanN, spread) },
    impulse: { value: force.impulseNs, u: impulseU(force.impulseNs, end.timeS - start.timeS, spread) },
    flags,
  };
}

/** True where a sample of the stroke's propulsion goes beyond every pressure its sensor was calibrated with. */
function isBeyond(pressureKpa: Float64Array, { hand, marks }: Stroke, { trace, hands }: TrialInput): boolean {
  const { calibration } = hands[hand];
  if (calibration === null || trace === null) return false;
  const [from, to] = [marks.propulsion_start!.timeS, marks.propulsion_end!.timeS];
  const largest = largestSize(pressureKpa, trace, from, to);
  return largest !== null && largest > calibration.largestKpa;
}

/** Why the forces of a stroke have no uncertainty; empty where they have one. */
function unknownParts({ hand }: Stroke, { hands, protocol }: TrialInput): readonly Flag[] {
  const about = hands[hand];
  const { calibration, elsewhere, areaUCm2 } = about;
  const flags: Flag[] = [];
  if (elsewhere !== null && elsewhere.scaleUPct === null) flags.push('no_scale_u');
  if (elsewhere?.quantity === 'force') return flags;
  if (elsewhere === null && calibration!.sensitivityU === null) flags.push('no_calibration_u');
  if (areaUCm2 === null) flags.push('no_hand_area_u');
  if (zeroUOf(about, protocol.accept.maxZeroShiftKpa) === null) flags.push('no_zero_shift');
  return flags;
}
