/** Writes a table as Parquet (Apache Parquet format 2, snappy): text, whole numbers, doubles, true and false; null for empty. */
import { parquetWriteBuffer, type ColumnSource } from 'hyparquet-writer';

export type ParquetType = 'string' | 'integer' | 'number' | 'boolean';

const TYPES = { string: 'STRING', integer: 'INT64', number: 'DOUBLE', boolean: 'BOOLEAN' } as const;

export interface ParquetColumn {
  readonly name: string;
  readonly type: ParquetType;
  /** One value per row. */
  readonly values: readonly (string | number | bigint | boolean | null)[];
}

/** The bytes of a Parquet file; the same columns give the same bytes. */
export function parquetBytes(columns: readonly ParquetColumn[]): Uint8Array {
  const columnData = columns.map(({ name, type, values }): ColumnSource => ({
    name,
    type: TYPES[type],
    data: [...values],
    nullable: true,
  }));
  return new Uint8Array(parquetWriteBuffer({ columnData, createdBy: 'lanebench', statistics: false }));
}

/** A column of a table's cells as typed values; an empty cell is null. */
export function typedColumn(name: string, type: ParquetType, cells: readonly string[]): ParquetColumn {
  const of = (cell: string) => {
    if (cell === '') return null;
    if (type === 'string') return cell;
    if (type === 'boolean') return cell === 'true';
    return type === 'integer' ? BigInt(cell) : Number(cell);
  };
  return { name, type, values: cells.map(of) };
}
