/** The tables that only some archives have: calibrations, zeros, moments on both clocks, marks. */
import { addAll } from '../base/extent.ts';
import type { Refusal } from '../base/refusal.ts';
import { inOneGo } from '../base/slices.ts';
import { cellOf, type TextTable } from '../base/table.ts';
import { dayTableText } from '../dataset/dayfolder.ts';
import { readDayTable, type RowOf, type TrialRow } from '../day/tables.ts';
import { refuseWhere, ownFault } from '../base/table.ts';
import { MAPPED_TABLES, type MappedTable } from './map.ts';
import { foldName } from './pattern.ts';
import type { People } from './people.ts';
import { type MappedRows, withCells } from './tables.ts';

type FurtherTable = Exclude<MappedTable, 'roster' | 'trials'>;

const FURTHER = MAPPED_TABLES.filter((name): name is FurtherTable => name !== 'roster' && name !== 'trials');

/** Each further table of the archive as text; rows about swimmers without consent are passed over. */
export function furtherTables(
  tables: Readonly<Partial<Record<MappedTable, MappedRows>>>,
  people: People,
  trials: readonly TrialRow[],
): { readonly texts: readonly (readonly [string, string])[]; readonly refused: readonly Refusal[] } {
  const spelling = new Map(trials.map(({ trial }) => [foldName(trial), trial]));
  const hidden = new Set(
    people.trials.filter(({ isWithheld }) => isWithheld).map(({ trial }) => foldName(trial)),
  );
  const isHidden = (trial: string) =>
    hidden.has(foldName(trial)) ||
    [...people.withheld].some((code) => foldName(trial).startsWith(`${foldName(code)}-`));
  const refused: Refusal[] = [];
  const texts: (readonly [string, string])[] = [];
  for (const name of FURTHER) {
    const mapped = tables[name];
    if (mapped === undefined) continue;
    texts.push([`${name}.csv`, textOf(name, mapped.sound)]);
  }
  return { texts, refused };

  function textOf<N extends FurtherTable>(name: N, table: TextTable): string {
    const hasTrial = table.header.includes('trial');
    const spelled = hasTrial
      ? withCells(table, 'trial', (cell) => spelling.get(foldName(cell)) ?? cell)
      : table;
    const read = inOneGo(
      readDayTable(name, spelled, (row) => hasTrial && isHidden(cellOf(spelled, row, 'trial'))),
    );
    const fault = (row: RowOf<N>) => {
      const { trial = null } = row as { readonly trial?: string | null };
      if (trial === null || spelling.has(foldName(trial))) return null;
      return ownFault('trial', `trial is "${trial}", and the archive has no such trial; correct the code.`);
    };
    const known = inOneGo(refuseWhere(read, table.file, 'trial', fault));
    addAll(refused, known.refused);
    return dayTableText(
      name,
      known.rows.map(({ value }) => value as RowOf<N>),
    );
  }
}
