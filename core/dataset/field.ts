/** A column of a table of the dataset: its name, type, unit and meaning, and how a row is said in it. */
import type { Cell } from '../base/csv.ts';

/** A column of a table, and what a row says in it. */
export interface Field<T> {
  readonly name: string;
  readonly type: 'string' | 'integer' | 'number' | 'boolean';
  /** Unit as printed; empty for what has none. */
  readonly unit: string;
  readonly description: string;
  readonly of: (row: T) => Cell;
}

export type FieldTuple<T> = readonly [string, Field<T>['type'], string, string, (row: T) => Cell];

/** Fields of a table from their names, types, units, descriptions and values, in this order. */
export function fields<T>(...tuples: readonly FieldTuple<T>[]): readonly Field<T>[] {
  return tuples.map(([name, type, unit, description, of]) => ({ name, type, unit, description, of }));
}
