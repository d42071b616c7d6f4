/**
 * Whether the sample tables of an MP4 file can be true: how many frames they name against the bytes that they and the
 * file hold. One damaged count makes a reader of the format build millions of frames that are not there. Boxes and
 * tables: ISO/IEC 14496-12, 4.2 and 8.6 to 8.7 (from memory).
 */
import { closeSync, fstatSync, openSync, readSync } from 'node:fs';

/** Frames that a film may hold: over an hour at 240 Hz. */
export const MOST_FRAMES = 1_000_000;

interface Box {
  readonly type: string;
  /** Where its content begins and ends, bytes from the start of the file. */
  readonly start: number;
  readonly end: number;
}

/** Boxes that hold boxes on the way to the tables. */
const PARENTS: ReadonlySet<string> = new Set(['moov', 'trak', 'mdia', 'minf', 'stbl']);
/** Bytes of an entry of each table; a table begins with version, flags and the number of its entries. */
const ENTRY_BYTES: Readonly<Record<string, number>> = {
  stts: 8,
  ctts: 8,
  stsc: 12,
  stco: 4,
  co64: 8,
  stss: 4,
};
const MOST_BOXES = 100_000;

/** Why the tables cannot be true, as the end of a sentence that begins with the file's name; null where they can. */
export function tableFault(absolute: string): string | null {
  const file = openSync(absolute, 'r');
  try {
    const bytes = fstatSync(file).size;
    return boxesFault(file, { type: '', start: 0, end: bytes }, bytes, { boxes: 0 });
  } finally {
    closeSync(file);
  }
}

function boxesFault(file: number, parent: Box, bytes: number, seen: { boxes: number }): string | null {
  for (let at = parent.start; at + 8 <= parent.end;) {
    const box = boxAt(file, at, parent.end);
    // What is no box is left to the reader of the format, which also knows other formats.
    if (box === null || ++seen.boxes > MOST_BOXES) return null;
    const fault = PARENTS.has(box.type) ? boxesFault(file, box, bytes, seen) : countFault(file, box, bytes);
    if (fault !== null) return fault;
    at = box.end;
  }
  return null;
}

function boxAt(file: number, at: number, limit: number): Box | null {
  const head = read(file, at, 16);
  if (head.length < 8) return null;
  const type = head.toString('latin1', 4, 8);
  if (!/^[\w ©-]{4}$/.test(type)) return null;
  const short = head.readUInt32BE(0);
  if (short === 1 && head.length < 16) return null;
  const size = short === 0 ? limit - at : short === 1 ? Number(head.readBigUInt64BE(8)) : short;
  const start = at + (short === 1 ? 16 : 8);
  const end = at + size;
  return end < start || end > limit ? null : { type, start, end };
}

function countFault(file: number, { type, start, end }: Box, bytes: number): string | null {
  if (type === 'stsz') return sizesFault(file, start, end, bytes);
  const entryBytes = ENTRY_BYTES[type];
  if (entryBytes === undefined) return null;
  const head = read(file, start, 8);
  if (head.length < 8) return null;
  const entries = head.readUInt32BE(4);
  if (entries * entryBytes > end - start - 8) return damaged(type, entries);
  return type === 'stts' || type === 'ctts' ? runsFault(file, type, start + 8, entries, bytes) : null;
}

/** Frames per run of equal duration: more of them than the file has bytes are not there. */
function runsFault(file: number, type: string, start: number, entries: number, bytes: number): string | null {
  let frames = 0;
  for (let from = 0; from < entries; from += 8192) {
    const some = read(file, start + 8 * from, 8 * Math.min(8192, entries - from));
    for (let at = 0; at + 8 <= some.length; at += 8) frames += some.readUInt32BE(at);
    if (frames > Math.min(bytes, MOST_FRAMES)) return tooMany(type, frames, bytes);
  }
  return null;
}

function sizesFault(file: number, start: number, end: number, bytes: number): string | null {
  const head = read(file, start, 12);
  if (head.length < 12) return null;
  const [size, frames] = [head.readUInt32BE(4), head.readUInt32BE(8)];
  if (size === 0 && 4 * frames > end - start - 12) return damaged('stsz', frames);
  return size * frames > bytes || frames > MOST_FRAMES ? tooMany('stsz', frames, bytes) : null;
}

function tooMany(type: string, frames: number, bytes: number): string {
  return frames > bytes / 16
    ? damaged(type, frames)
    : `names ${frames} frames in its table ${type}, and a film of a trial takes at most ${MOST_FRAMES}; cut it to the trial`;
}

function damaged(type: string, entries: number): string {
  return `is damaged: its table ${type} names ${entries} entries, more than the file holds; copy it again from the camera`;
}

function read(file: number, at: number, length: number): Buffer {
  const buffer = Buffer.alloc(length);
  return buffer.subarray(0, readSync(file, buffer, 0, length, at));
}
