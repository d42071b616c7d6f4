/**
 * The columns of the trials as the cleaning grid shows them: those of trials.csv (formats.md section 3) under the words
 * of the screens, each number beside its standard uncertainty where trials.csv has one.
 */
import type { Cell } from '../../base/csv.ts';
import { DATASET_FIELDS } from '../../dataset/dataset.ts';
import { VERDICT_WORDS } from '../../trial/check.ts';

/** A column of the grid. */
export interface GridColumn {
  /** As in trials.csv; `day`, `date` and `sex` stand beside them. */
  readonly name: string;
  readonly head: string;
  /** Empty for none. */
  readonly unit: string;
  readonly isNumber: boolean;
  readonly description: string;
  /** Place of its cell in a row. */
  readonly at: number;
  /** Place of its standard uncertainty; null where there is none. */
  readonly uAt: number | null;
}

const HEADS: Readonly<Record<string, string>> = {
  day: 'Day',
  date: 'Date',
  sex: 'Sex',
  trial: 'Trial',
  participant: 'Swimmer',
  attempt: 'Attempt',
  condition: 'Condition',
  status: 'Decision',
  exclusion_reason: 'Reason',
  check: 'Verdict',
  check_reason: 'Why',
  section_m: 'Section',
  section_time_s: 'Section time',
  velocity_m_s: 'Velocity',
  cycle_time_s: 'Cycle time',
  stroke_rate_cpm: 'Stroke rate',
  stroke_length_m: 'Stroke length',
  idc_pct: 'Index of coordination',
  idc_left_pct: 'Index, from left',
  idc_right_pct: 'Index, from right',
  high_hand_s: 'High-hand time',
  entry_position: 'Entry',
  peak_force_left_n: 'Peak force left',
  peak_force_right_n: 'Peak force right',
  mean_force_left_n: 'Mean force left',
  mean_force_right_n: 'Mean force right',
  impulse_left_ns: 'Impulse left',
  impulse_right_ns: 'Impulse right',
  force_symmetry_pct: 'Force symmetry',
  sync_offset_s: 'Clock offset',
  sync_rate: 'Clock rate',
  sync_residual_s: 'Clock residual',
  zero_shift_left_kpa: 'Zero shift left',
  zero_shift_right_kpa: 'Zero shift right',
  strokes_left: 'Strokes left',
  strokes_right: 'Strokes right',
  strokes_measured: 'Strokes measured',
  strokes_judged: 'Strokes judged',
  propulsion_basis: 'Propulsion from',
  rater: 'Rater',
  left_sensor: 'Sensor left',
  right_sensor: 'Sensor right',
  flags: 'Flags',
};

const BESIDE = [
  { name: 'day', type: 'string', unit: '', description: 'Code of the testing day' },
  { name: 'date', type: 'string', unit: '', description: 'Date of the testing day' },
  { name: 'sex', type: 'string', unit: '', description: 'female, male or unspecified' },
] as const;

const ALL = [...BESIDE, ...DATASET_FIELDS.trials];

/** Every column that can be shown, in the order of trials.csv. */
export const GRID_COLUMNS: readonly GridColumn[] = ALL.flatMap(({ name, type, unit, description }, at) => {
  const head = HEADS[name];
  if (head === undefined) return [];
  const uAt = ALL.findIndex((own) => own.name === `${name}_u`);
  const isNumber = type === 'number' || type === 'integer';
  return [{ name, head, unit, isNumber, description, at, uAt: uAt < 0 ? null : uAt }];
});

const BY_NAME = new Map(GRID_COLUMNS.map((column) => [column.name, column]));

/** The column of that name; throws where there is none, for only the program names columns here. */
export function gridColumn(name: string): GridColumn {
  const column = BY_NAME.get(name);
  if (column === undefined) throw new Error(`The grid has no column ${name}.`);
  return column;
}

/** A row's cells: those beside, then those of trials.csv with their uncertainties, in order. */
export type GridCells = readonly Cell[];

/** The number in a cell, in its column’s unit (formats.md section 2); null where there is none. */
export function numberAt(cells: GridCells, at: number): number | null {
  const cell = cells[at];
  return typeof cell === 'number' && Number.isFinite(cell) ? cell : null;
}

/** The text in a cell; empty where there is none. */
export function textAt(cells: GridCells, at: number): string {
  const cell = cells[at];
  return cell === null || cell === undefined ? '' : String(cell);
}

/** What the screens say in place of the values of files. */
const SAID: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  check: VERDICT_WORDS,
  status: { recorded: 'To decide', accepted: 'Accepted', excluded: 'Excluded' },
};

/** The text of a cell as the screens say it; empty where there is none. */
export function saidAt(cells: GridCells, { at, name }: GridColumn): string {
  const text = textAt(cells, at);
  return SAID[name]?.[text] ?? text;
}
