/** The rows of a grid in the order and the groups that a person asked for. */
import { median } from '../../base/statistics.ts';
import { restsOnPropulsion } from '../basis.ts';
import { byCodePoint } from '../study.ts';
import { gridColumn, numberAt, saidAt, textAt, type GridCells, type GridColumn } from './columns.ts';

export interface Sorting {
  readonly column: GridColumn;
  readonly isDown: boolean;
}

/** By code point, but numbers in a text by their size: P2 before P10. The same on every machine. */
function byText(a: string, b: string): number {
  const [x, y] = [a.match(PARTS) ?? [], b.match(PARTS) ?? []];
  for (let k = 0; k < Math.min(x.length, y.length); k++) {
    const [one, other] = [x[k]!, y[k]!];
    const away = Number(one) - Number(other);
    const order = Number.isFinite(away) && away !== 0 ? away : byCodePoint(one, other);
    if (order !== 0) return order;
  }
  return x.length - y.length;
}

const PARTS = /\d+|\D+/g;

/** Orders rows by a column; what has no value stands last either way, ties stay as they were. */
export function sortRows<T extends { readonly cells: GridCells }>(
  rows: readonly T[],
  sorting: Sorting | null,
): readonly T[] {
  if (sorting === null) return rows;
  const { column, isDown } = sorting;
  const way = isDown ? -1 : 1;
  if (column.isNumber) {
    const keyed = rows.map((row) => ({ row, key: numberAt(row.cells, column.at) }));
    keyed.sort((a, b) =>
      a.key === null || b.key === null
        ? Number(a.key === null) - Number(b.key === null)
        : way * (a.key - b.key),
    );
    return keyed.map(({ row }) => row);
  }
  // Texts of a column repeat: each is ranked once, so that rows are compared as numbers.
  const all = [...new Set(rows.map((row) => saidAt(row.cells, column)))].sort(byText);
  const rank = new Map(all.map((text, place) => [text, text === '' ? Infinity : way * place]));
  const keyed = rows.map((row) => ({ row, key: rank.get(saidAt(row.cells, column))! }));
  keyed.sort((a, b) => (a.key === b.key ? 0 : a.key - b.key));
  return keyed.map(({ row }) => row);
}

/** A line of the grid: a row, or the head of a group. */
export type GridLine<T> =
  | { readonly kind: 'row'; readonly row: T }
  | {
      readonly kind: 'group';
      readonly name: string;
      readonly count: number;
      readonly isOpen: boolean;
      /** Median of each column over the group's rows, by the column's name; absent for columns without numbers. */
      readonly medians: ReadonlyMap<string, number>;
      /** Columns whose median is over rows with propulsion from force and from film: not the same quantity. */
      readonly mixed: ReadonlySet<string>;
    };

const lines = new WeakMap<object, unknown>();

/** The line of a row, the same one each time: what is typed into a filter makes none anew. */
function lineOf<T extends object>(row: T): GridLine<T> {
  const known = lines.get(row);
  if (known !== undefined) return known as GridLine<T>;
  const line: GridLine<T> = { kind: 'row', row };
  lines.set(row, line);
  return line;
}

/** Rows under the heads of their groups, by code point; rows of a closed group are left away. */
export function groupRows<T extends { readonly cells: GridCells }>(
  rows: readonly T[],
  by: GridColumn | null,
  closed: ReadonlySet<string>,
  shown: readonly GridColumn[],
): readonly GridLine<T>[] {
  if (by === null) return rows.map(lineOf);
  const groups = new Map<string, T[]>();
  for (const row of rows) {
    const name = saidAt(row.cells, by);
    const own = groups.get(name);
    if (own === undefined) groups.set(name, [row]);
    else own.push(row);
  }
  // A number without a unit counts something: its median says nothing.
  const numbers = shown.filter(({ isNumber, unit }) => isNumber && unit !== '');
  return [...groups]
    .sort(([a], [b]) => (by.isNumber ? Number(a) - Number(b) : byCodePoint(a, b)))
    .flatMap(([name, own]): GridLine<T>[] => {
      const medians = new Map<string, number>();
      const mixed = new Set<string>();
      for (const { name: column, at } of numbers) {
        const valued = own.filter(({ cells }) => numberAt(cells, at) !== null);
        const middle = median(valued.map(({ cells }) => numberAt(cells, at)!));
        if (middle === null) continue;
        medians.set(column, middle);
        if (restsOnPropulsion(column) && basesOf(valued) > 1) mixed.add(column);
      }
      const isOpen = !closed.has(name);
      const head: GridLine<T> = { kind: 'group', name, count: own.length, isOpen, medians, mixed };
      return isOpen ? [head, ...own.map(lineOf)] : [head];
    });
}

/** How many things propulsion was read from in these rows; one row that mixes them counts as two. */
function basesOf(rows: readonly { readonly cells: GridCells }[]): number {
  const { at } = gridColumn('propulsion_basis');
  const found = new Set(rows.map(({ cells }) => textAt(cells, at)));
  found.delete('');
  return found.has('mixed') ? 2 : found.size;
}
