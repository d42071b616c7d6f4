/** Recordings opened at the bench: kept once by their SHA-256, their columns served as samples. */
import { realpath, stat } from 'node:fs/promises';
import { basename, dirname, isAbsolute } from 'node:path';
import type { RecordingView } from '../../../core/contract/bench.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import type { RecordingTime } from '../../../core/base/recordingtime.ts';
import type { TimeSource } from '../../../core/day/day.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { readRecording, recordingColumns } from '../../files/recording.ts';
import { allowedFolder } from '../kept/places.ts';
import { RECORDING_TIME_SHAPE } from '../shapes/bench.ts';
import { readKept } from '../shapes/shape.ts';
import { now, operatorOf, storeFault, type Session } from '../kept/session.ts';

/** Opens a recording; what cannot be read is not kept. */
export async function openRecording(
  session: Session,
  wish: { readonly path: string; readonly time: RecordingTime },
): Promise<Outcome<RecordingView, LabError>> {
  const found = await allowedFile(session, wish.path);
  if (!found.ok) return found;
  const file = basename(found.value);
  const time = toSource(wish.time);
  const columns = await recordingColumns(found.value, file, time);
  if (!columns.ok) return unusable(columns.error);
  const grid = await firstWithSamples(found.value, file, time, columns.value);
  if (!grid.ok) return unusable(grid.error);
  const { store } = session;
  const copied = await store.addRaw(found.value);
  if (!copied.ok) return storeFault(copied.error);
  const { sha256, bytes } = copied.value;
  const put = store.putRecording({ sha256, bytes, file, time: wish.time }, operatorOf(session), now());
  if (!put.ok) return storeFault(put.error);
  const { startS, rateHz, count } = grid.value;
  return done({ sha256, file, columns: columns.value, startS, rateHz, count });
}

/** The samples of a recording's column, raw, gaps filled; null where there are none, or it is no longer what it was. */
export async function recordingSamples(
  { store }: Session,
  sha256: string,
  column: number,
): Promise<Float64Array | null> {
  const recording = store.getRecording(sha256);
  if (recording === null || (await store.checkRaw(sha256)).state !== 'whole') return null;
  const time = toSource(readKept(RECORDING_TIME_SHAPE, recording.time, `of ${recording.file}`));
  const path = store.rawPath(sha256);
  const columns = await recordingColumns(path, recording.file, time);
  const name = columns.ok ? columns.value[column] : undefined;
  if (name === undefined) return null;
  const read = await readRecording(path, recording.file, time, name);
  return read.ok ? read.value.left.raw : null;
}

function toSource(time: RecordingTime): TimeSource {
  return 'rateHz' in time
    ? { kind: 'rate', rateHz: time.rateHz }
    : { kind: 'column', column: time.column, unit: time.unit };
}

/** The time grid, by the first column that holds numbers. */
async function firstWithSamples(path: string, file: string, time: TimeSource, columns: readonly string[]) {
  for (const column of columns) {
    const read = await readRecording(path, file, time, column);
    if (read.ok || column === columns.at(-1)) return read;
  }
  return failed(`${file} has no columns.`);
}

/** The real path of a file whose folder lies in an allowed place. */
async function allowedFile(session: Session, path: string): Promise<Outcome<string, LabError>> {
  const missing = failed<LabError>({
    code: 'not_found',
    says: `There is no file ${path}, or it may not be read.`,
    todo: 'Give the whole path of a file on this computer, from its root.',
  });
  if (!isAbsolute(path) || path.includes('\0')) return missing;
  const real = await realpath(path).catch(() => null);
  const facts = real === null ? null : await stat(real).catch(() => null);
  if (real === null || facts === null || !facts.isFile()) return missing;
  const folder = await allowedFolder(session, dirname(real));
  return folder.ok ? done(real) : folder;
}

function unusable(says: string): { readonly ok: false; readonly error: LabError } {
  return failed({
    code: 'bad_input',
    says,
    todo: 'A recording is a text table with a header row and one column of readings per sensor; say which column is the time, or its rate.',
  });
}
