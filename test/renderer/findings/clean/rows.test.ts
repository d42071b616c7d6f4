/** How cells of the cleaning grid are written. */
import { expect, test } from 'vitest';
import { GRID_COLUMNS, gridColumn } from '../../../../core/findings/clean/columns.ts';
import { cellText } from '../../../../renderer/findings/clean/rows.ts';

const cells = (given: Readonly<Record<string, number | string>>) => {
  const row = Array<number | string | null>(
    1 + Math.max(...GRID_COLUMNS.map(({ at, uAt }) => Math.max(at, uAt ?? 0))),
  );
  row.fill(null);
  for (const [name, value] of Object.entries(given)) {
    const { at } = gridColumn(name);
    row[at] = value;
  }
  return { cells: row };
};
const said = (name: string, given: Readonly<Record<string, number | string>>) =>
  cellText(cells(given) as never, gridColumn(name));

test('what an index of coordination was read from stands beside it, and beside nothing else', () => {
  expect(said('idc_pct', { idc_pct: -8.6, propulsion_basis: 'video' }).u).toBe('film');
  expect(said('idc_left_pct', { idc_left_pct: -8.6, propulsion_basis: 'force' }).u).toBe('force');
  expect(said('idc_pct', { idc_pct: -8.6, propulsion_basis: 'mixed' }).u).toBe('both');
  expect(said('idc_pct', { propulsion_basis: 'mixed' }).u).toBe('');
  expect(said('velocity_m_s', { velocity_m_s: 1.7, propulsion_basis: 'video' }).u).toBe('');
});
