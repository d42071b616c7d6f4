/** A trace from its file to its grid: the one way in which samples of a file become samples at equal steps. */
import type { TraceColumns } from '../../core/day/day.ts';
import { sampleRows, type SampledTrace } from '../../core/force/trace.ts';
import { addAll } from '../../core/base/extent.ts';
import { done, failed, type Outcome, type Refusal } from '../../core/base/refusal.ts';
import { readTraceFile } from './tracefile.ts';

export interface ReadTrace {
  readonly trace: SampledTrace;
  /** Rows that were refused alone, those whose time does not fit among them. */
  readonly refused: readonly Refusal[];
  readonly sha256: string;
}

/**
 * Reads a trace and puts it on its grid.
 * @param file its path inside the day, for sentences
 * Fails with all that was refused on the way, the reason why there is no trace last.
 */
export async function readSampledTrace(
  absolute: string,
  file: string,
  columns: TraceColumns,
): Promise<Outcome<ReadTrace, readonly Refusal[]>> {
  const read = await readTraceFile(absolute, file, columns);
  if (!read.ok) return failed([read.error]);
  const sampling = sampleRows(read.value.rows, file);
  read.value.letGo?.();
  const refused: Refusal[] = [];
  addAll(refused, read.value.refused);
  addAll(
    refused,
    sampling.refused.map(({ line, reason }) => ({ file, line, field: 'time', reason })),
  );
  if (sampling.trace !== null) return done({ trace: sampling.trace, refused, sha256: read.value.sha256 });
  const reason = `${file} cannot be used: ${sampling.fault ?? 'it has no samples'}.`;
  return failed([...refused, { file, line: null, field: null, reason }]);
}
