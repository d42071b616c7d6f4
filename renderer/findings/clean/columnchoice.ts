/** Which columns of the grid are shown, remembered on this computer. */
import { GRID_COLUMNS, gridColumn, type GridColumn } from '../../../core/findings/clean/columns.ts';

const KEPT = 'lanebench.findings.columns';

/** The trial itself stands first, always. */
export const CHOOSABLE = GRID_COLUMNS.filter(({ name }) => name !== 'trial');

const AT_FIRST = [
  'participant',
  'check',
  'status',
  'velocity_m_s',
  'stroke_rate_cpm',
  'stroke_length_m',
  'idc_pct',
  'high_hand_s',
  'peak_force_left_n',
  'peak_force_right_n',
];

/** The columns that were shown last. */
export function keptColumns(): readonly GridColumn[] {
  const names = keptNames();
  return CHOOSABLE.filter(({ name }) => names.includes(name));
}

function keptNames(): readonly string[] {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(KEPT) ?? 'null');
    if (Array.isArray(kept) && kept.length > 0) return kept.map(String);
  } catch {
    // What cannot be read is as if nothing had been kept.
  }
  return AT_FIRST;
}

export function keepColumns(columns: readonly GridColumn[]): void {
  localStorage.setItem(KEPT, JSON.stringify(columns.map(({ name }) => name)));
}

/** Columns that rows can be grouped by. */
export const GROUPABLE = [
  'day',
  'participant',
  'attempt',
  'condition',
  'sex',
  'check',
  'status',
  'entry_position',
  'propulsion_basis',
  'left_sensor',
  'right_sensor',
].map(gridColumn);
