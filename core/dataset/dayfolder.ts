/**
 * A day written back as the text of a day folder, which reads back to the same rows and the same day. Contract:
 * formats.md section 1; RFC 4180 quoting, LF, decimal point, numbers that read back as the same double.
 */
import { type RowOf, type TableName, columnsOf } from '../day/tables.ts';
import { printCell } from '../base/csv.ts';
import type { Day } from '../day/day.ts';
import { dayParameters } from './dayparameters.ts';

/**
 * One table as CSV, header first, all columns of the contract that this program reads; null is an empty cell.
 * @param rows as read: texts without white space at their ends
 * Throws a RangeError where a number is not finite: the contract has no word for it.
 */
export function dayTableText<N extends TableName>(name: N, rows: readonly RowOf<N>[]): string {
  const columns = columnsOf(name);
  const lines = rows.map((row) =>
    columns.map((column) => {
      const cell = (row as Readonly<Record<string, string | number | null>>)[column] ?? null;
      if (typeof cell === 'number' && !Number.isFinite(cell))
        throw new RangeError(`${name}.csv: ${column} is ${cell}; a table takes finite numbers.`);
      return printCell(cell);
    }),
  );
  return [columns, ...lines].map((cells) => `${cells.join(',')}\n`).join('');
}

/**
 * day.json as text. A filter that could not be used stays one that cannot: written as not given, the forces would
 * come out unfiltered.
 */
export function dayJsonText(day: Day): string {
  const parameters = dayParameters(day) as { readonly protocol: object };
  const { filter } = day.protocol;
  const whole =
    filter.kind === 'unusable'
      ? { ...parameters, protocol: { ...parameters.protocol, filter: { kind: filter.kind } } }
      : parameters;
  return `${JSON.stringify(whole, null, 2)}\n`;
}
