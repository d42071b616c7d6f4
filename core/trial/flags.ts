/** What a trial's check looks at, and the flags a trial carries. */
import { largest } from '../base/extent.ts';
import type { TrialInput, HandSeries, StrokeResult, TrialResult } from './result.ts';
import { type Hand, HANDS } from '../base/hand.ts';
import type { TrialEvidence } from './check.ts';
import { traceEndS } from '../force/trace.ts';
import { gapMs, touchesGap, saturatedFraction, saturatedBetween, longGaps } from '../force/gaps.ts';
import { type SensorOutcome, pressureFails } from '../day/checks.ts';
import { shiftOf, zeroOf } from './hand.ts';
import { type Flag, orderFlags } from '../stroke/flags.ts';
import { hasMixedSectionPoints } from '../protocol/protocol.ts';

/** The evidence that the protocol's limits are held against. */
export function evidenceOf(
  input: TrialInput,
  series: Readonly<Record<Hand, HandSeries>>,
  results: readonly StrokeResult[],
): TrialEvidence {
  const { trace, section } = input;
  const hand = (which: Hand) => {
    const { channel } = series[which];
    const own = results.filter((result) => result.stroke.hand === which);
    const gaps = channel?.gaps ?? [];
    const longest = (some: typeof gaps) => Math.max(0, largest(some.map((gap) => gapMs(gap, trace!.rateHz))));
    const about = input.hands[which];
    const { zeros, rawMin, rawMax } = about;
    const failed = pressureFails(about.check, input.protocol.accept.maxCheckDeviationKpa);
    return {
      hasColumn: about.hasColumn,
      hasSamples: channel !== null,
      gapAnywhereMs: longest(gaps),
      gapInSectionMs:
        trace === null || section === null
          ? 0
          : longest(gaps.filter((gap) => touchesGap(trace, gap, section.startS, section.endS))),
      // A reading that was calibrated elsewhere has no raw range to be at the end of.
      rangeStated: about.elsewhere !== null || (rawMin !== null && rawMax !== null),
      saturatedFraction: channel === null ? 0 : saturatedFraction(channel, rawMin, rawMax),
      saturatedInSection:
        channel === null || trace === null || section === null
          ? 0
          : saturatedBetween(channel, trace, section, rawMin, rawMax),
      zeroShiftKpa: shiftOf(about),
      checkFailedKpa: failed === true ? worstKpa(about.check!) : null,
      zerosRead: zeros.before !== null && zeros.after !== null,
      markedStrokes: own.length,
      countedStrokes: own.filter((result) => result.counts).length,
    };
  };
  return {
    hands: { left: hand('left'), right: hand('right') },
    hasTrace: trace !== null,
    hasSection: section !== null,
    clockDoubtful: input.flags.includes('clock_doubtful'),
  };
}

function worstKpa({ startKpa, endKpa }: SensorOutcome): number {
  return Math.abs(startKpa ?? 0) >= Math.abs(endKpa ?? 0) ? startKpa! : endKpa!;
}

/** Flags of strokes that a trial with any such stroke, counted or not, carries too. */
const SEEN_ON_TRIAL: ReadonlySet<Flag> = new Set(['beyond_calibration', 'no_hand_area_u']);

/** The flags of a trial, from its input and its numbers. */
export function trialFlags(
  input: TrialInput,
  series: Readonly<Record<Hand, HandSeries>>,
  result: Omit<TrialResult, 'flags'>,
): readonly Flag[] {
  const { protocol, section, trace, strokes } = input;
  const flags = new Set<Flag>(input.flags);
  const set = (flag: Flag, when: boolean) => {
    if (when) flags.add(flag);
  };
  set('no_trace', trace === null);
  set('resampled', trace?.resampled === true);
  set('no_section', section === null);
  set('no_section_length', result.sectionM === null);
  set('no_section_u', protocol.sectionUM === null);
  set('no_timing_u', section !== null && input.timingUS === null);
  set('mixed_section_points', hasMixedSectionPoints(protocol));
  set(
    'section_outside_trace',
    trace !== null &&
      section !== null &&
      (section.startS < trace.startS - 1e-9 || section.endS > traceEndS(trace) + 1e-9),
  );
  set('marking_not_stated', protocol.markingUS === null);
  set('unmarked', strokes.length === 0);
  set('no_cycle', result.cycleTime === null);
  set('no_coordination', result.cycleTime !== null && result.idc === null);
  set('no_high_hand', result.highHand === null);
  set(
    'no_mark_u',
    result.cycleTime?.u === null ||
      result.idc?.u === null ||
      (result.highHand !== null && result.highHand.value > 0 && result.highHand.u === null) ||
      result.strokes.some((stroke) => stroke.counts && stroke.flags.includes('no_mark_u')),
  );
  set(
    'no_force',
    HANDS.some((hand) => result.hands[hand].meanForce === null),
  );
  for (const stroke of result.strokes)
    for (const flag of stroke.flags) if (SEEN_ON_TRIAL.has(flag)) flags.add(flag);
  for (const hand of HANDS) {
    const { channel, fault } = series[hand];
    if (fault !== null) flags.add(fault);
    const about = input.hands[hand];
    const { calibration, calibrationVerdict, elsewhere, zeros, rawMin, rawMax, check } = about;
    set('calibrated_elsewhere', elsewhere !== null && trace !== null);
    set('no_calibration', calibration === null && elsewhere === null);
    set('sensor_check_failed', pressureFails(check, protocol.accept.maxCheckDeviationKpa) === true);
    if (elsewhere?.quantity !== 'force') set('no_zero_shift', zeros.before === null || zeros.after === null);
    if (trace === null || channel === null) continue;
    set('gap', longGaps(channel, trace.rateHz, protocol.accept.maxGapMs).length > 0);
    set('saturated', saturatedFraction(channel, rawMin, rawMax) > 0);
    set('calibration_rejected', calibrationVerdict === 'rejected');
    set('no_calibration_u', calibration !== null && calibration.sensitivityU === null);
    set('no_scale_u', elsewhere !== null && elsewhere.scaleUPct === null);
    if (calibration === null && elsewhere === null) continue;
    const { origin } = zeroOf(about);
    set('zero_from_day', origin === 'day');
    set('zero_from_calibration', origin === 'calibration');
  }
  return orderFlags(flags);
}
