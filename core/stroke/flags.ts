/**
 * Flags: why a value is empty, or what to keep in mind when reading it. This list is the codebook's.
 */

const FLAGS = {
  no_trace: 'The trial has no readable trace: camera A’s clock is its clock, and forces are empty.',
  one_channel: 'The trace carries no samples for this hand: its forces are empty.',
  resampled:
    'Sample times left the even grid by more than half a step and were brought to it by straight lines.',
  no_calibration: 'No calibration could be fitted for the sensor of a hand: its forces are empty.',
  calibration_rejected: 'The calibration of a sensor broke a limit; its forces are given all the same.',
  no_calibration_u: 'The calibration has fewer than three points: it gives no uncertainty.',
  calibrated_elsewhere:
    'The trace holds pressures or forces that were calibrated elsewhere: no calibration of ours was applied.',
  no_scale_u: 'The uncertainty of values calibrated elsewhere is not stated: forces have none.',
  beyond_calibration:
    'A pressure goes beyond the largest one its sensor was calibrated with: the line is trusted beyond where it was seen.',
  sensor_check_failed:
    'The sensor read a known pressure at the start or the end of the day further off than the protocol allows.',
  zero_from_day: 'No zero was read around the trial: the mean of the day’s zero readings is its zero.',
  zero_from_calibration:
    'No zero was read around the trial or for the day: the calibration’s intercept is its zero.',
  no_zero_shift:
    'The zero was not read both before and after the trial: its shift is not known. Where the protocol sets no limit for it either, forces have no uncertainty.',
  no_hand_area: 'The area of a hand is not known: its forces are empty.',
  no_hand_area_u: 'The uncertainty of the hand area is not known: forces have no uncertainty.',
  area_estimated:
    'The area of a hand was estimated from height and mass, not measured: its forces are that uncertain.',
  filter_unusable:
    'The filter cannot be applied (cutoff at or above half the sampling rate, or misstated): forces are empty.',
  too_short_to_filter: 'The trace is shorter than the filter’s edges: forces are empty.',
  saturated: 'Samples lie at the end of the sensor’s raw range.',
  gap: 'A filled gap is longer than the protocol allows; forces of strokes that touch it are empty.',
  outside_trace: 'The stroke’s propulsion leaves the trace: its forces are empty.',
  no_sample: 'No sample lies within the stroke’s propulsion: it has no peak force.',
  no_sync: 'No moment ties a camera’s clock to the trial’s: marks made on its film have no time.',
  no_trace_clock:
    'Marks on the trace’s clock have no time: there is no readable trace, and no moment ties it to camera A.',
  sync_contradiction:
    'The moments that tie a camera to the trace contradict one another: they were not used.',
  clock_doubtful:
    'The moments that tie a camera to the trace are further apart than reading explains, or their clocks run at different rates: what mixes film and trace cannot be believed.',
  clock_unchecked:
    'One moment ties a camera to the trace: nothing shows whether the two clocks run at one rate.',
  marking_not_stated:
    'The uncertainty of placing a mark is not stated: it was taken as 0, and every uncertainty of a time is too small.',
  no_section: 'The section times are not known: nothing lies in the section.',
  no_section_length: 'The protocol gives no measured section: velocity is empty.',
  no_section_u: 'The uncertainty of the section length is not given: velocity has no uncertainty.',
  no_timing_u: 'The uncertainty of the section times is not given: velocity has no uncertainty.',
  mixed_section_points:
    'Different points of the body were timed at the two ends: an arm’s reach hides in the velocity.',
  section_outside_trace: 'The section times leave the trace.',
  unmarked: 'No stroke is marked.',
  no_cycle:
    'No two consecutive propulsion starts of one hand lie in the section: there is no stroke cycle time.',
  no_coordination: 'A hand has no hand-over that counts: the index of coordination is empty.',
  no_partner:
    'The other hand has no propulsion that this stroke follows: its index of coordination is empty.',
  no_propulsion: 'Propulsion start or end is not marked.',
  no_high_hand: 'Full reach or hand below shoulder is not marked: high-hand time is empty.',
  no_phases: 'A mark of the cycle, or the next water entry, is missing: phase shares are empty.',
  no_force: 'No stroke that counts has forces on one hand or both.',
  no_mark_u:
    'The frame interval behind a mark, or the clock line under it, is not known: what rests on it has no uncertainty.',
  judged_unmarked: 'A judgement was given for a stroke that has no marks; it is not used.',
} as const;

export type Flag = keyof typeof FLAGS;

/** Every flag with its meaning, in the order in which flags are printed. */
export const FLAG_MEANINGS: readonly (readonly [Flag, string])[] = Object.entries(FLAGS) as [Flag, string][];

const ORDER = new Map(FLAG_MEANINGS.map(([flag], index) => [flag, index]));

/** What a flag means, as a sentence. */
export function flagMeaning(flag: Flag): string {
  return FLAGS[flag];
}

/** Flags without repetition, in the codebook's order. */
export function orderFlags(flags: Iterable<Flag>): readonly Flag[] {
  return [...new Set(flags)].toSorted((a, b) => ORDER.get(a)! - ORDER.get(b)!);
}
