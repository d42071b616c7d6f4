/** The columns of trials.csv. Contract: formats.md section 3. */
import { fields, type FieldTuple } from './field.ts';
import { type Hand, HANDS } from '../base/hand.ts';
import type { Measured } from '../base/uncertainty.ts';
import type { Day } from '../day/day.ts';
import { type TrialEntry, sensorWorn } from '../day/book.ts';
import type { TrialResult, HandResult } from '../trial/result.ts';

/** A trial with what became of it. */
export interface TrialRow {
  readonly entry: TrialEntry;
  readonly result: TrialResult;
}

/** A trial as a row: the day says which sensors its hands wore. */
export interface TrialLine extends TrialRow {
  readonly day: Day;
}

/** A quantity of one hand, mean of the strokes that count, and its standard uncertainty. */
function handForce(
  hand: Hand,
  name: string,
  ending: string,
  unit: string,
  what: string,
  of: (result: HandResult) => Measured | null,
): readonly FieldTuple<TrialLine>[] {
  const column = `${name}_${hand}_${ending}`;
  return [
    [
      column,
      'number',
      unit,
      `Mean of the strokes’ ${what}, ${hand} hand`,
      ({ result }) => of(result.hands[hand])?.value ?? null,
    ],
    [
      `${column}_u`,
      'number',
      unit,
      `Standard uncertainty of that; its parts are shared by the strokes and do not average out`,
      ({ result }) => of(result.hands[hand])?.u ?? null,
    ],
  ];
}

export const trials = fields<TrialLine>(
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
  ...HANDS.flatMap((hand) =>
    handForce(hand, 'peak_force', 'n', 'N', 'peak forces', ({ peakForce }) => peakForce),
  ),
  ...HANDS.flatMap((hand) =>
    handForce(hand, 'mean_force', 'n', 'N', 'mean forces', ({ meanForce }) => meanForce),
  ),
  ...HANDS.flatMap((hand) => handForce(hand, 'impulse', 'ns', 'N·s', 'impulses', ({ impulse }) => impulse)),
  [
    'force_symmetry_pct',
    'number',
    '%',
    'Right less left mean force over their mean',
    ({ result }) => result.forceSymmetry?.value ?? null,
  ],
  [
    'force_symmetry_pct_u',
    'number',
    '%',
    'Standard uncertainty of the force symmetry, left and right taken as independent',
    ({ result }) => result.forceSymmetry?.u ?? null,
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
    'strokes_measured',
    'integer',
    '',
    'Strokes that count with a measured entry height',
    ({ result }) => result.strokesMeasured,
  ],
  [
    'strokes_judged',
    'integer',
    '',
    'Strokes that count with a judged entry position alone; undecided is none',
    ({ result }) => result.strokesJudged,
  ],
  [
    'propulsion_basis',
    'string',
    '',
    'Where propulsion was marked: force (trace clock), video or mixed',
    ({ result }) => result.propulsionBasis,
  ],
  ['rater', 'string', '', 'Who made the marks that are reported', ({ result }) => result.rater],
  [
    'left_sensor',
    'string',
    '',
    'Sensor the left hand wore',
    ({ entry, day }) => sensorWorn(day, entry.row, 'left'),
  ],
  [
    'right_sensor',
    'string',
    '',
    'Sensor the right hand wore',
    ({ entry, day }) => sensorWorn(day, entry.row, 'right'),
  ],
  ['flags', 'string', '', 'Reasons and cautions, separated by ;', ({ result }) => result.flags.join(';')],
);
