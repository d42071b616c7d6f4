/** A recording of raw readings made at the bench: any CSV that a trace may be, with its columns not known before. */
import { open } from 'node:fs/promises';
import type { TimeSource } from '../../core/day/day.ts';
import { done, failed, type Outcome } from '../../core/base/refusal.ts';
import type { SampledTrace } from '../../core/force/trace.ts';
import { findDelimiter, isPreamble, splitLine } from './dialect.ts';
import { readSampledTrace } from './sampledtrace.ts';

/** A header longer than this is none. */
const HEADER_BYTES = 1 << 16;

/**
 * The columns of a recording that may hold readings, in the file's order: all but the time's, each name once.
 * @param file its name, for sentences
 */
export async function recordingColumns(
  absolute: string,
  file: string,
  time: TimeSource,
): Promise<Outcome<readonly string[], string>> {
  let head: string;
  try {
    head = await readHead(absolute);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === undefined) throw error;
    return failed(`${file} cannot be read (${code}).`);
  }
  if (head.includes('\0')) return failed(`${file} is no text file.`);
  const line = head.split(/\r?\n/).find((text) => !isPreamble(text));
  if (line === undefined) return failed(`${file} has no header row with the names of its columns.`);
  const expected = time.kind === 'column' ? [time.column] : [];
  const header = splitLine(line, findDelimiter(line, expected));
  if (time.kind === 'column' && !header.includes(time.column))
    return failed(
      `${file} has no column "${time.column}" for the time; its columns are ${header.map((name) => `"${name}"`).join(', ')}.`,
    );
  const columns = [...new Set(header)].filter((name) => name !== '' && !expected.includes(name));
  return columns.length > 0 ? done(columns) : failed(`${file} has no column besides that of the time.`);
}

async function readHead(absolute: string): Promise<string> {
  const handle = await open(absolute, 'r');
  try {
    const { buffer, bytesRead } = await handle.read(Buffer.alloc(HEADER_BYTES), 0, HEADER_BYTES);
    return new TextDecoder().decode(buffer.subarray(0, bytesRead));
  } finally {
    await handle.close();
  }
}

/** One column of a recording on its time grid, gaps filled as in a trace; or why it holds none. */
export async function readRecording(
  absolute: string,
  file: string,
  time: TimeSource,
  column: string,
): Promise<Outcome<SampledTrace & { readonly left: NonNullable<SampledTrace['left']> }, string>> {
  const read = await readSampledTrace(absolute, file, {
    time,
    left: { column, sensor: null, elsewhere: null },
    right: null,
  });
  if (!read.ok) return failed(read.error.at(-1)!.reason);
  const { trace } = read.value;
  const { left } = trace;
  return left === null ? failed(`Column "${column}" of ${file} holds no numbers.`) : done({ ...trace, left });
}
