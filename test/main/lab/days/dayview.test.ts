/** The app's numbers are the command line's: every field of every trial and stroke of the sample day. */
import { beforeAll, expect, it } from 'vitest';
import { EVENTS } from '../../../../core/stroke/stroke.ts';
import type { StrokeResult } from '../../../../core/trial/result.ts';
import type { DayView, TrialView } from '../../../../core/contract/views.ts';
import { viewDay, viewTrial } from '../../../../main/lab/days/dayview.ts';
import { SAMPLE } from '../../cli/run.ts';
import { processFolder, type CsvRow, type Processed } from '../../files/day-builder.ts';
import { testLab, valueOf } from '../support.ts';

type Cell = string | number | boolean | null | undefined;

let dataset: Processed;
let day: DayView;
let trials: readonly TrialView[];

beforeAll(async () => {
  dataset = await processFolder(SAMPLE);
});

it('brings the sample day in', async () => {
  const lab = await testLab();
  const id = await lab.bring(SAMPLE);
  day = valueOf(await viewDay(lab.session, id));
  const views: TrialView[] = [];
  for (const { trial } of day.trials) views.push(valueOf(await viewTrial(lab.session, id, trial)));
  trials = views;
  expect(trials).toHaveLength(14);
});

/** Compares a dataset's row with the app's cells of the same names; numbers must be the same double. */
function differences(where: string, row: CsvRow, cells: Readonly<Record<string, Cell>>): string[] {
  expect(Object.keys(cells).toSorted(), where).toEqual(Object.keys(row).toSorted());
  return Object.entries(cells).flatMap(([name, cell]) => {
    const text = row[name]!;
    const same =
      typeof cell === 'number' ? text !== '' && Object.is(Number(text), cell) : text === String(cell ?? '');
    return same ? [] : [`${where}, ${name}: "${text}" in the dataset, ${String(cell)} in the app`];
  });
}

function trialCells({
  trial,
  participant,
  attempt,
  condition,
  status,
  exclusionReason,
  result,
}: TrialView): Record<string, Cell> {
  const { hands, clock, check } = result;
  return {
    trial,
    participant,
    attempt,
    condition,
    status,
    exclusion_reason: exclusionReason,
    check: check.verdict,
    check_reason: check.findings.map(({ says }) => says).join(' '),
    section_m: result.sectionM,
    section_time_s: result.sectionTimeS,
    velocity_m_s: result.velocity?.value,
    velocity_m_s_u: result.velocity?.u,
    cycle_time_s: result.cycleTime?.value,
    cycle_time_s_u: result.cycleTime?.u,
    stroke_rate_cpm: result.strokeRate?.value,
    stroke_length_m: result.strokeLength?.value,
    idc_pct: result.idc?.value,
    idc_pct_u: result.idc?.u,
    idc_left_pct: hands.left.idcPct,
    idc_right_pct: hands.right.idcPct,
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
    force_symmetry_pct: result.forceSymmetry?.value,
    force_symmetry_pct_u: result.forceSymmetry?.u,
    sync_offset_s: clock?.offsetS,
    sync_rate: clock?.rate,
    sync_residual_s: clock?.residualS,
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

function strokeCells({ trial, participant }: TrialView, one: StrokeResult): Record<string, Cell> {
  const { stroke } = one;
  return {
    trial,
    participant,
    hand: stroke.hand,
    stroke: stroke.number,
    in_section: one.inSection,
    entry_position: stroke.entryPosition,
    entry_height_cm: stroke.entryHeightCm?.value,
    entry_height_cm_u: stroke.entryHeightCm?.u,
    breath: stroke.breath,
    exclusion_reason: stroke.exclusionReason,
    ...Object.fromEntries(EVENTS.map((event) => [`${event}_s`, stroke.marks[event]?.timeS])),
    idc_pct: one.idcPct,
    high_hand_s: one.highHand?.value,
    high_hand_s_u: one.highHand?.u,
    entry_catch_pct: one.entryCatchPct,
    pull_pct: one.pullPct,
    push_pct: one.pushPct,
    recovery_pct: one.recoveryPct,
    peak_force_n: one.peakForce?.value,
    peak_force_n_u: one.peakForce?.u,
    mean_force_n: one.meanForce?.value,
    mean_force_n_u: one.meanForce?.u,
    impulse_ns: one.impulse?.value,
    impulse_ns_u: one.impulse?.u,
    flags: one.flags.join(';'),
  };
}

it('gives each trial the numbers of the dataset, on the trial and in the list', () => {
  expect(dataset.table('trials').map((row) => row['trial'])).toEqual(trials.map(({ trial }) => trial));
  expect(
    trials.flatMap((view) => {
      // Which sensor was worn is not a number of the trial: the screens say it beside its calibration.
      const { left_sensor: _left, right_sensor: _right, ...row } = dataset.trial(view.trial);
      return differences(view.trial, row, trialCells(view));
    }),
  ).toEqual([]);
  for (const [index, view] of trials.entries()) {
    const { strokes: _strokes, ...result } = view.result;
    expect(day.trials[index]!.result).toEqual(result);
  }
});

it('gives each stroke the numbers of the dataset', () => {
  const rows = dataset.table('strokes');
  const key = (row: CsvRow) => `${row['trial']} ${row['hand']} ${row['stroke']}`;
  const strokes = trials.flatMap((view) => view.result.strokes.map((one) => strokeCells(view, one)));
  expect(strokes).toHaveLength(rows.length);
  const wrong = strokes.flatMap((cells) => {
    const name = `${cells['trial']} ${cells['hand']} ${cells['stroke']}`;
    return differences(name, rows.find((row) => key(row) === name) ?? {}, cells);
  });
  expect(wrong).toEqual([]);
});

it('gives the calibrations of the dataset, and refuses the same inputs', () => {
  const rows = new Map(dataset.table('calibrations').map((row) => [row['sensor']!, row]));
  expect(day.calibrations.map(({ sensor }) => sensor).toSorted()).toEqual([...rows.keys()].toSorted());
  for (const { sensor, verdict, sensitivityRawPerKpa, sensitivityU, residualSdKpa } of day.calibrations) {
    const row = rows.get(sensor)!;
    expect([verdict, sensitivityRawPerKpa, sensitivityU, residualSdKpa]).toEqual([
      row['verdict'],
      Number(row['sensitivity_raw_per_kpa']),
      Number(row['sensitivity_u']),
      Number(row['residual_sd_kpa']),
    ]);
  }
  expect(day.refused.map(({ file, line, reason }) => ({ file, line, reason }))).toEqual(dataset.refused);
});
