/** Writes a table as Parquet (Apache Parquet format 2, snappy): text, whole numbers, doubles, true and false; null for empty. */
import { asyncBufferFromFile, parquetMetadataAsync, parquetRead, parquetSchema } from 'hyparquet';
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

/** The numeric columns of a Parquet file that this program wrote, by name; NaN where a value is missing. */
export async function readParquet(path: string): Promise<ReadonlyMap<string, Float64Array>> {
  const file = await asyncBufferFromFile(path);
  const metadata = await parquetMetadataAsync(file);
  const columns = new Map(
    parquetSchema(metadata).children.map(({ element }) => [
      element.name,
      new Float64Array(Number(metadata.num_rows)).fill(NaN),
    ]),
  );
  await parquetRead({
    file,
    metadata,
    onChunk: ({ columnName, columnData, rowStart }) => {
      const values = columns.get(columnName)!;
      for (let k = 0; k < columnData.length; k++) {
        const value: unknown = columnData[k];
        if (typeof value === 'number') values[rowStart + k] = value;
      }
    },
  });
  return columns;
}
