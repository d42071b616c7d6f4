/** DuckDB as a peer: `samples DAY TRIALS OUT` turns trace CSV into Parquet; `sums OUT TRIALS` reads Parquet back. */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';

const [command, folder, trials, out] = process.argv.slice(2) as [string, string, string, string];
const connection = await (await DuckDBInstance.create()).connect();
const names = Array.from({ length: Number(trials) }, (_, k) => `T${String(k + 1).padStart(3, '0')}`);
const began = performance.now();
const check: number[] = [];
if (command === 'samples') {
  mkdirSync(out);
  // As many columns as ours; force is left at a multiple of the raw value, without a filter.
  for (const name of names)
    await connection.run(
      `COPY (SELECT time AS time_s, L AS left_raw, R AS right_raw, (L - 32765) * 0.0075 AS left_force_n,
       (R - 32765) * 0.0075 AS right_force_n FROM read_csv('${join(folder, 'traces', `${name}.csv`)}'))
       TO '${join(out, `${name}.parquet`)}' (FORMAT parquet)`,
    );
} else {
  const sums = await connection.runAndReadAll(
    `SELECT count(*)::DOUBLE, sum(left_raw)::DOUBLE, sum(right_raw)::DOUBLE, max(time_s)::DOUBLE
     FROM '${join(folder, '*.parquet')}'`,
  );
  check.push(...(sums.getRows()[0] as number[]));
}
console.log(JSON.stringify({ seconds: (performance.now() - began) / 1000, check }));
