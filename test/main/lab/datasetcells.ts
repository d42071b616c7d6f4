/** The numbers of a trial as the app has them, held against the row of a dataset. */
import type { TrialView } from '../../../core/contract/views.ts';

type Cells = Readonly<Record<string, number | string | null | undefined>>;

/** Cells of trials.csv by their column; what the app has not is empty text there. */
export function trialNumbers({ result }: TrialView): Cells {
  const { hands, clock } = result;
  return {
    check: result.check.verdict,
    section_time_s: result.sectionTimeS,
    velocity_m_s: result.velocity?.value,
    velocity_m_s_u: result.velocity?.u,
    stroke_rate_cpm: result.strokeRate?.value,
    cycle_time_s: result.cycleTime?.value,
    cycle_time_s_u: result.cycleTime?.u,
    idc_pct: result.idc?.value,
    idc_pct_u: result.idc?.u,
    high_hand_s: result.highHand?.value,
    high_hand_s_u: result.highHand?.u,
    entry_position: result.entryPosition,
    peak_force_left_n: hands.left.peakForce?.value,
    peak_force_left_n_u: hands.left.peakForce?.u,
    peak_force_right_n: hands.right.peakForce?.value,
    peak_force_right_n_u: hands.right.peakForce?.u,
    mean_force_left_n: hands.left.meanForce?.value,
    mean_force_left_n_u: hands.left.meanForce?.u,
    mean_force_right_n: hands.right.meanForce?.value,
    mean_force_right_n_u: hands.right.meanForce?.u,
    impulse_left_ns: hands.left.impulse?.value,
    impulse_left_ns_u: hands.left.impulse?.u,
    impulse_right_ns: hands.right.impulse?.value,
    impulse_right_ns_u: hands.right.impulse?.u,
    sync_offset_s: clock?.offsetS,
    sync_rate: clock?.rate,
    zero_shift_left_kpa: hands.left.zeroShiftKpa,
    zero_shift_right_kpa: hands.right.zeroShiftKpa,
    strokes_left: hands.left.strokes,
    strokes_right: hands.right.strokes,
    propulsion_basis: result.propulsionBasis,
    rater: result.rater,
    strokes_measured: result.strokesMeasured,
    strokes_judged: result.strokesJudged,
    flags: result.flags.join(';'),
  };
}

/**
 * Where a row of a dataset and the app's cells differ, as sentences.
 * @param near numbers must agree to this part of their size, or to this much near 0
 */
export function differences(
  near: number,
  where: string,
  row: Readonly<Record<string, string>>,
  cells: Readonly<Record<string, unknown>>,
): string[] {
  return Object.entries(cells).flatMap(([name, cell]) => {
    const text = row[name] ?? 'no such column';
    const same =
      typeof cell === 'number'
        ? text !== '' && Math.abs(Number(text) - cell) <= near * Math.max(1, Math.abs(cell))
        : text === String(cell ?? '');
    return same ? [] : [`${where}, ${name}: "${text}" in the dataset, ${String(cell)} in the app`];
  });
}
