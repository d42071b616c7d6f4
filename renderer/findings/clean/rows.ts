/** A trial as a row of the grid, and how its cells are written. */
import type { FindingsTrial } from '../../../core/contract/cleaning.ts';
import { isIndex } from '../../../core/findings/basis.ts';
import {
  gridColumn,
  numberAt,
  saidAt,
  textAt,
  type GridColumn,
} from '../../../core/findings/clean/columns.ts';
import { suspicionsOf, type RuleName, type Suspicion } from '../../../core/findings/clean/suspicious.ts';
import { figures, minus } from '../../../core/base/words.ts';
import { EMPTY, formatDate, measuredText, type Unit } from '../../format.ts';

export interface GridRow extends FindingsTrial {
  readonly key: string;
  /** Its texts as the filter reads them. */
  readonly texts: string;
}

/** Names a row among those of all days. */
export function keyOf({ day, trial }: Pick<FindingsTrial, 'day' | 'trial'>): string {
  return `${day}/${trial}`;
}

const MEASURED: ReadonlySet<string> = new Set<Unit>(['m/s', 'cycles/min', 'm', 's', '%', 'N', 'N·s', 'kPa']);

export interface CellText {
  readonly text: string;
  /** Standard uncertainty, and what an index of coordination was read from; empty where neither is known. */
  readonly u: string;
}

/** A number with its standard uncertainty, in the unit of its column's head. */
export function numberText(value: number, u: number | null, unit: string): CellText {
  const measured = MEASURED.has(unit) ? measuredText({ value, u }, unit as Unit) : null;
  if (measured === null) return { text: minus(figures(value, 6)), u: '' };
  return { text: measured.value, u: measured.u === null ? '' : `± ${measured.u}` };
}

/** What propulsion was read from, in a cell. */
const FROM: Readonly<Record<string, string>> = { force: 'force', video: 'film', mixed: 'both' };

/** What a cell of a row says. */
export function cellText({ cells }: Pick<GridRow, 'cells'>, column: GridColumn): CellText {
  if (column.isNumber) {
    const value = numberAt(cells, column.at);
    if (value === null) return { text: EMPTY, u: '' };
    const { text, u } = numberText(
      value,
      column.uAt === null ? null : numberAt(cells, column.uAt),
      column.unit,
    );
    const from = isIndex(column.name) ? FROM[textAt(cells, gridColumn('propulsion_basis').at)] : undefined;
    return { text, u: from === undefined ? u : `${u} ${from}`.trim() };
  }
  const text = saidAt(cells, column);
  return { text: column.name === 'date' && text !== '' ? formatDate(text) : text, u: '' };
}

const WIDE: ReadonlySet<string> = new Set(['flags', 'check_reason', 'exclusion_reason']);

/** How wide a column is drawn, px. */
export function widthOf({ name, isNumber, unit, uAt }: GridColumn): number {
  if (WIDE.has(name)) return 320;
  if (name === 'trial' || name === 'day') return 152;
  if (!isNumber) return 112;
  return uAt !== null ? 168 : unit === '' ? 88 : 112;
}

/** What the rules find, by the row's key; a row's group is what it has in some columns. */
export function suspicionsByKey(
  rows: readonly GridRow[],
  by: readonly GridColumn[],
  rules: ReadonlySet<RuleName>,
): ReadonlyMap<string, readonly Suspicion[]> {
  const ruled = rows.map(({ participant, status, cells }) => ({
    participant,
    group: by.map((column) => saidAt(cells, column)).join(', '),
    counts: status !== 'excluded',
    cells,
  }));
  return new Map([...suspicionsOf(ruled, rules)].map(([index, own]) => [rows[index]!.key, own] as const));
}
