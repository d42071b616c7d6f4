/**
 * The dataset a day is exported as: tables, fields with unit and description, and how a result becomes a row.
 * Contract: formats.md section 3. A Data Package (Data Package standard v2) describes it; see `datapackage`.
 */
import type { TrialEntry, Daybook } from '../day/book.ts';
import type { TrialResult, StrokeResult } from '../trial/result.ts';
import type { Cell } from '../base/csv.ts';
import type { RosterRow } from '../day/tables.ts';
import type { SensorCalibration } from '../day/sensors.ts';
import { EVENTS, eventWords } from '../stroke/stroke.ts';
import type { Refusal } from '../base/refusal.ts';
import { HANDS } from '../base/hand.ts';

/** A trial with what became of it. */
export interface TrialRecord {
  readonly entry: TrialEntry;
  readonly result: TrialResult;
}

/** A stroke of a trial. */
interface StrokeRecord {
  readonly entry: TrialEntry;
  readonly stroke: StrokeResult;
}

export interface Field<T> {
  readonly name: string;
  readonly type: 'string' | 'integer' | 'number' | 'boolean';
  /** Unit as printed; empty for what has none. */
  readonly unit: string;
  readonly description: string;
  readonly of: (row: T) => Cell;
}

type FieldTuple<T> = readonly [string, Field<T>['type'], string, string, (row: T) => Cell];

function fields<T>(...tuples: readonly FieldTuple<T>[]): readonly Field<T>[] {
  return tuples.map(([name, type, unit, description, of]) => ({ name, type, unit, description, of }));
}

const participants = fields<RosterRow>(
  ['participant', 'string', '', 'Code of the swimmer', (row) => row.participant],
  ['sex', 'string', '', 'female, male or unspecified', (row) => row.sex],
  ['birth_year', 'integer', '', 'Year of birth', (row) => row.birth_year],
  ['height_cm', 'number', 'cm', 'Body height', (row) => row.height_cm],
  ['mass_kg', 'number', 'kg', 'Body mass', (row) => row.mass_kg],
  ['left_hand_area_cm2', 'number', 'cm²', 'One-sided area of the left hand', (row) => row.left_hand_area_cm2],
  [
    'right_hand_area_cm2',
    'number',
    'cm²',
    'One-sided area of the right hand',
    (row) => row.right_hand_area_cm2,
  ],
  ['hand_area_u_cm2', 'number', 'cm²', 'Standard uncertainty of a hand area', (row) => row.hand_area_u_cm2],
  ['consent', 'string', '', 'given, or assent_and_guardian', (row) => row.consent],
);

const calibrations = fields<SensorCalibration>(
  ['sensor', 'string', '', 'Code of the sensor', (row) => row.sensor.sensor],
  ['hand', 'string', '', 'Hand the sensor is worn on by day.json', (row) => row.sensor.hand],
  [
    'intercept_raw',
    'number',
    'raw',
    'Raw value at no applied pressure, from the line',
    (row) => row.calibration?.interceptRaw ?? null,
  ],
  [
    'sensitivity_raw_per_kpa',
    'number',
    'raw/kPa',
    'Slope of raw on applied pressure',
    (row) => row.calibration?.sensitivityRawPerKpa ?? null,
  ],
  [
    'sensitivity_u',
    'number',
    'raw/kPa',
    'Standard uncertainty of the sensitivity',
    (row) => row.calibration?.sensitivityU ?? null,
  ],
  [
    'residual_sd_kpa',
    'number',
    'kPa',
    'Residual standard deviation, n − 2 degrees of freedom',
    (row) => row.calibration?.residualSdKpa ?? null,
  ],
  [
    'nonlinearity_pct_fs',
    'number',
    '%',
    'Largest mean residual at one pressure, of full scale',
    (row) => row.calibration?.nonlinearityPctFs ?? null,
  ],
  [
    'hysteresis_pct_fs',
    'number',
    '%',
    'Largest difference of mean up and mean down at one pressure, of full scale',
    (row) => row.calibration?.hysteresisPctFs ?? null,
  ],
  [
    'verdict',
    'string',
    '',
    'accepted, remark (something could not be judged), rejected (a limit is broken), not_fitted or missing (no calibration was given)',
    (row) => row.verdict,
  ],
);

const trials = fields<TrialRecord>(
  ['trial', 'string', '', 'Code of the trial', ({ entry }) => entry.row.trial],
  ['participant', 'string', '', 'Code of the swimmer', ({ entry }) => entry.row.participant],
  ['attempt', 'integer', '', 'Number of the attempt', ({ entry }) => entry.row.attempt],
  ['condition', 'string', '', 'Condition of a within-swimmer design', ({ entry }) => entry.row.condition],
  [
    'status',
    'string',
    '',
    'recorded, accepted or excluded; an excluded trial is computed like any other',
    ({ entry }) => entry.row.status,
  ],
  ['exclusion_reason', 'string', '', 'Why the trial was excluded', ({ entry }) => entry.row.exclusion_reason],
  [
    'check',
    'string',
    '',
    'good, look or swim_again, by the protocol’s acceptance limits',
    ({ result }) => result.check.verdict,
  ],
  [
    'check_reason',
    'string',
    '',
    'What the check found',
    ({ result }) => result.check.findings.map(({ says }) => says).join(' '),
  ],
  ['section_m', 'number', 'm', 'Length of the measured section', ({ result }) => result.sectionM],
  ['section_time_s', 'number', 's', 'Time in the measured section', ({ result }) => result.sectionTimeS],
  [
    'velocity_m_s',
    'number',
    'm/s',
    'Section length over section time',
    ({ result }) => result.velocity?.value ?? null,
  ],
  [
    'velocity_m_s_u',
    'number',
    'm/s',
    'Standard uncertainty of the velocity',
    ({ result }) => result.velocity?.u ?? null,
  ],
  [
    'cycle_time_s',
    'number',
    's',
    'Stroke cycle time, mean over both hands',
    ({ result }) => result.cycleTime?.value ?? null,
  ],
  [
    'cycle_time_s_u',
    'number',
    's',
    'Standard uncertainty of the stroke cycle time',
    ({ result }) => result.cycleTime?.u ?? null,
  ],
  [
    'stroke_rate_cpm',
    'number',
    'cycles/min',
    '60 over the stroke cycle time',
    ({ result }) => result.strokeRate?.value ?? null,
  ],
  [
    'stroke_length_m',
    'number',
    'm',
    'Velocity times stroke cycle time, per cycle of both arms',
    ({ result }) => result.strokeLength?.value ?? null,
  ],
  [
    'idc_pct',
    'number',
    '%',
    'Index of coordination, mean of both hands’ means; negative is a gap',
    ({ result }) => result.idc?.value ?? null,
  ],
  [
    'idc_pct_u',
    'number',
    '%',
    'Standard uncertainty of the index of coordination',
    ({ result }) => result.idc?.u ?? null,
  ],
  [
    'idc_left_pct',
    'number',
    '%',
    'Index of coordination of strokes whose propulsion starts on the left',
    ({ result }) => result.hands.left.idcPct,
  ],
  [
    'idc_right_pct',
    'number',
    '%',
    'Index of coordination of strokes whose propulsion starts on the right',
    ({ result }) => result.hands.right.idcPct,
  ],
  ['high_hand_s', 'number', 's', 'Mean high-hand time', ({ result }) => result.highHand?.value ?? null],
  [
    'high_hand_s_u',
    'number',
    's',
    'Standard uncertainty of the high-hand time',
    ({ result }) => result.highHand?.u ?? null,
  ],
  [
    'entry_position',
    'string',
    '',
    'Most frequent hand position against the shoulder at full reach; mixed on a tie',
    ({ result }) => result.entryPosition,
  ],
  [
    'peak_force_left_n',
    'number',
    'N',
    'Mean of the strokes’ peak forces, left hand',
    ({ result }) => result.hands.left.peakForceN,
  ],
  [
    'peak_force_right_n',
    'number',
    'N',
    'Mean of the strokes’ peak forces, right hand',
    ({ result }) => result.hands.right.peakForceN,
  ],
  [
    'mean_force_left_n',
    'number',
    'N',
    'Mean of the strokes’ mean forces, left hand',
    ({ result }) => result.hands.left.meanForceN,
  ],
  [
    'mean_force_right_n',
    'number',
    'N',
    'Mean of the strokes’ mean forces, right hand',
    ({ result }) => result.hands.right.meanForceN,
  ],
  [
    'impulse_left_ns',
    'number',
    'N·s',
    'Mean of the strokes’ impulses, left hand',
    ({ result }) => result.hands.left.impulseNs,
  ],
  [
    'impulse_right_ns',
    'number',
    'N·s',
    'Mean of the strokes’ impulses, right hand',
    ({ result }) => result.hands.right.impulseNs,
  ],
  [
    'force_symmetry_pct',
    'number',
    '%',
    'Right less left mean force over their mean',
    ({ result }) => result.forceSymmetryPct,
  ],
  [
    'sync_offset_s',
    'number',
    's',
    'Trace time at video time 0, camera A',
    ({ result }) => result.clock?.offsetS ?? null,
  ],
  [
    'sync_rate',
    'number',
    's/s',
    'Trace seconds per video second, camera A',
    ({ result }) => result.clock?.rate ?? null,
  ],
  [
    'sync_residual_s',
    'number',
    's',
    'Root mean square of the clock residuals, camera A',
    ({ result }) => result.clock?.residualS ?? null,
  ],
  [
    'zero_shift_left_kpa',
    'number',
    'kPa',
    'Zero after less zero before, left hand',
    ({ result }) => result.hands.left.zeroShiftKpa,
  ],
  [
    'zero_shift_right_kpa',
    'number',
    'kPa',
    'Zero after less zero before, right hand',
    ({ result }) => result.hands.right.zeroShiftKpa,
  ],
  ['strokes_left', 'integer', '', 'Left strokes that count', ({ result }) => result.hands.left.strokes],
  ['strokes_right', 'integer', '', 'Right strokes that count', ({ result }) => result.hands.right.strokes],
  [
    'propulsion_basis',
    'string',
    '',
    'Where propulsion was marked: force (trace clock), video or mixed',
    ({ result }) => result.propulsionBasis,
  ],
  ['flags', 'string', '', 'Reasons and cautions, separated by ;', ({ result }) => result.flags.join(';')],
);

const strokes = fields<StrokeRecord>(
  ['trial', 'string', '', 'Code of the trial', ({ entry }) => entry.row.trial],
  ['participant', 'string', '', 'Code of the swimmer', ({ entry }) => entry.row.participant],
  ['hand', 'string', '', 'left or right', ({ stroke }) => stroke.stroke.hand],
  ['stroke', 'integer', '', 'Number of the stroke, from 1 per hand', ({ stroke }) => stroke.stroke.number],
  [
    'in_section',
    'boolean',
    '',
    'Propulsion start and end both lie in the measured section',
    ({ stroke }) => stroke.inSection,
  ],
  [
    'entry_position',
    'string',
    '',
    'Hand against the shoulder at full reach: above, level or below',
    ({ stroke }) => stroke.stroke.entryPosition,
  ],
  [
    'breath',
    'string',
    '',
    'Side of a breath during the stroke: none, left or right',
    ({ stroke }) => stroke.stroke.breath,
  ],
  [
    'exclusion_reason',
    'string',
    '',
    'Why the stroke was left out',
    ({ stroke }) => stroke.stroke.exclusionReason,
  ],
  ...EVENTS.map((event): FieldTuple<StrokeRecord> => [
    `${event}_s`,
    'number',
    's',
    `Time of ${eventWords(event)}, on the trial’s clock`,
    ({ stroke }) => stroke.stroke.marks[event]?.timeS ?? null,
  ]),
  [
    'idc_pct',
    'number',
    '%',
    'Index of coordination of the hand-over into this stroke',
    ({ stroke }) => stroke.idcPct,
  ],
  [
    'high_hand_s',
    'number',
    's',
    'High-hand time; 0 where the hand enters below the shoulder',
    ({ stroke }) => stroke.highHand?.value ?? null,
  ],
  [
    'high_hand_s_u',
    'number',
    's',
    'Standard uncertainty of the high-hand time',
    ({ stroke }) => stroke.highHand?.u ?? null,
  ],
  [
    'entry_catch_pct',
    'number',
    '%',
    'Entry and catch, share of the arm’s cycle',
    ({ stroke }) => stroke.entryCatchPct,
  ],
  ['pull_pct', 'number', '%', 'Pull, share of the arm’s cycle', ({ stroke }) => stroke.pullPct],
  ['push_pct', 'number', '%', 'Push, share of the arm’s cycle', ({ stroke }) => stroke.pushPct],
  ['recovery_pct', 'number', '%', 'Recovery, share of the arm’s cycle', ({ stroke }) => stroke.recoveryPct],
  [
    'peak_force_n',
    'number',
    'N',
    'Largest hand force during propulsion',
    ({ stroke }) => stroke.peakForce?.value ?? null,
  ],
  [
    'peak_force_n_u',
    'number',
    'N',
    'Standard uncertainty of the peak force',
    ({ stroke }) => stroke.peakForce?.u ?? null,
  ],
  ['mean_force_n', 'number', 'N', 'Impulse over duration of propulsion', ({ stroke }) => stroke.meanForceN],
  ['impulse_ns', 'number', 'N·s', 'Hand force integrated over propulsion', ({ stroke }) => stroke.impulseNs],
  ['flags', 'string', '', 'Reasons and cautions, separated by ;', ({ stroke }) => stroke.flags.join(';')],
);

const refused = fields<Refusal>(
  ['file', 'string', '', 'File of the day folder', (row) => row.file],
  ['line', 'integer', '', 'Line of the file; empty where it concerns the whole file', (row) => row.line],
  ['reason', 'string', '', 'What was left out, and why', (row) => row.reason],
);

/** One table of the dataset, ready to print. */
export interface DatasetTable {
  readonly name: 'participants' | 'calibrations' | 'trials' | 'strokes' | 'refused';
  readonly title: string;
  readonly fields: readonly Pick<Field<unknown>, 'name' | 'type' | 'unit' | 'description'>[];
  readonly rows: readonly (readonly Cell[])[];
}

function table<T>(
  name: DatasetTable['name'],
  title: string,
  columns: readonly Field<T>[],
  rows: readonly T[],
): DatasetTable {
  const described = columns.map(({ name: field, type, unit, description }) => ({
    name: field,
    type,
    unit,
    description,
  }));
  return { name, title, fields: described, rows: rows.map((row) => columns.map(({ of }) => of(row))) };
}

/** Refusals in their fixed order: by file, the whole file first, then by line. */
export function orderRefusals(all: readonly Refusal[]): readonly Refusal[] {
  const place = ({ line }: Refusal) => line ?? 0;
  return all.toSorted((a, b) => (a.file < b.file ? -1 : a.file > b.file ? 1 : place(a) - place(b)));
}

/** The tables of a dataset. Rows stand in the order of the roster, of trials.csv, and of hand and stroke number. */
export function datasetTables(
  book: Daybook,
  records: readonly TrialRecord[],
  refusals: readonly Refusal[],
): readonly DatasetTable[] {
  const strokeRecords = records.flatMap(({ entry, result }) =>
    HANDS.flatMap((hand) =>
      result.strokes.filter(({ stroke }) => stroke.hand === hand).map((stroke) => ({ entry, stroke })),
    ),
  );
  return [
    table('participants', 'Swimmers', participants, book.roster),
    table('calibrations', 'Sensor calibrations', calibrations, [...book.calibrations.values()]),
    table('trials', 'Trials', trials, records),
    table('strokes', 'Arm strokes', strokes, strokeRecords),
    table('refused', 'Inputs left out', refused, orderRefusals(refusals)),
  ];
}
