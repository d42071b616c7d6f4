/** Films with bytes damaged by chance: no reading throws or goes on without end, and no time of a frame is none. */
import { readFileSync, writeFileSync } from 'node:fs';
import { extname, join } from 'node:path';
import { readFilm } from '../../main/files/film.ts';
import type { Attack } from './attempt.ts';
import type { Lot } from './lot.ts';

/** Films of the sample day, one of each format (invented). */
const FILMS = ['P02-1.mp4', 'P05-1.webm'].map((name) =>
  join('sample-sessions', 'harbour-morning', 'video', name),
);
/** Texts by which the parts of a film are told that say how long they are and what they hold. */
const STRUCTURE = [
  'moov', 'trak', 'mdia', 'stbl', 'stts', 'stsz', 'stsc', 'stco', 'ctts', 'stsd', 'mdhd', 'tkhd', 'ftyp', 'mdat',
  '\x1aE\xdf\xa3', '\x18S\x80g', '\x16T\xaek', '\x1cS\xbbk', '\x1fC\xb6u', '\x15I\xa9f',
]; // prettier-ignore
/** A damaged film may keep its reader busy: it is then ended, and that is said. */
const MOST_MS = 10_000;
const COUNTS = [0, 1, 0x7f, 0xff, 10_000_000, 0x7fffffff, 0xffffffff];

/** One piece of damage: most of it where the film says how it is made, for pictures themselves are not read. */
function damage(bytes: Buffer, lot: Lot): Buffer {
  const known = STRUCTURE.map((text) => bytes.indexOf(text, 0, 'latin1')).filter((at) => at >= 0);
  const near =
    lot.part() < 0.8 && known.length > 0 ? lot.oneOf(known) - 8 + lot.whole(40) : lot.whole(bytes.length);
  const at = Math.min(Math.max(near, 0), bytes.length - 4);
  switch (lot.whole(5)) {
    case 0:
      bytes[at]! ^= 1 << lot.whole(8);
      return bytes;
    case 1:
      bytes.writeUInt32BE(lot.oneOf(COUNTS), at);
      return bytes;
    case 2:
      return Buffer.concat([bytes.subarray(0, at), bytes.subarray(at + lot.whole(64))]);
    case 3:
      return Buffer.concat([
        bytes.subarray(0, at),
        bytes.subarray(at, at + lot.whole(256)),
        bytes.subarray(at),
      ]);
    default:
      return bytes.subarray(0, at);
  }
}

async function faultOf(path: string): Promise<string | null> {
  const read = await readFilm(path, undefined, MOST_MS);
  if (!read.ok)
    return read.error === '' || /undefined|\[object/.test(read.error) ? `no sentence: ${read.error}` : null;
  const { frameTimesS, frameIntervalS } = read.value;
  if (!frameTimesS.every((time, k) => Number.isFinite(time) && time >= (frameTimesS[k - 1] ?? time)))
    return 'a frame has no time, or an earlier one than the frame before it';
  return frameIntervalS === null || Number.isFinite(frameIntervalS)
    ? null
    : 'the frame interval is no number';
}

export const films: Attack = {
  name: 'damaged films',
  promise: 'No file makes the program fail',
  times: 1_000,
  most: 500,
  inMemory: true,
  async run({ times, lot, folder, note }) {
    const whole = FILMS.map((path) => ({ bytes: readFileSync(path), ending: extname(path) }));
    for (let n = 0; n < times; n++) {
      const { bytes, ending } = lot.oneOf(whole);
      let damaged: Buffer = Buffer.from(bytes);
      for (let hits = 1 + lot.whole(3); hits > 0 && damaged.length > 8; hits--)
        damaged = damage(damaged, lot);
      const path = join(folder, `film${ending}`);
      writeFileSync(path, damaged);
      try {
        const fault = await faultOf(path);
        note(fault === null ? null : `film ${n}: ${fault}`);
      } catch (error) {
        note(`film ${n}: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`);
      }
    }
  },
};
