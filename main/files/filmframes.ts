/**
 * Frame times of a film, from the file itself: variable frame rate and any start offset included. A damaged file can
 * keep the reader of its format busy for minutes, so this runs in a worker that can be ended: see `film.ts`.
 */
import { ALL_FORMATS, EncodedPacketSink, FilePathSource, Input, type InputVideoTrack } from 'mediabunny';
import { median } from '../../core/base/statistics.ts';
import { done, failed, type Outcome } from '../../core/base/refusal.ts';
import { MOST_FRAMES, tableFault } from './filmtables.ts';

export interface Film {
  /** Presentation time of each frame, s, ascending. */
  readonly frameTimesS: readonly number[];
  /** Median of the intervals between frames, s; null below two frames. */
  readonly frameIntervalS: number | null;
  readonly codec: string | null;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Reads a film's frame times; fails with the end of a sentence that begins with the file's name. */
export async function readFrames(absolute: string): Promise<Outcome<Film, string>> {
  try {
    const damaged = tableFault(absolute);
    if (damaged !== null) return failed(damaged);
    using input = new Input({ source: new FilePathSource(absolute), formats: ALL_FORMATS });
    const track = await input.getPrimaryVideoTrack();
    if (track === null) return failed('holds no film; give an MP4 or WebM file');
    const times: number[] = [];
    const sink = new EncodedPacketSink(track);
    for await (const packet of sink.packets(undefined, undefined, { metadataOnly: true }))
      if (times.push(packet.timestamp) > MOST_FRAMES) return failed(TOO_LONG);
    if (times.length === 0) return failed('holds no frame; it may have been cut short while copying');
    if (!(await hasLastFrame(sink))) return failed('was cut short: its last frame is missing; copy it again');
    const frameTimesS = times.toSorted((a, b) => a - b);
    const intervals = frameTimesS.slice(1).map((time, i) => time - frameTimesS[i]!);
    return done({
      frameTimesS,
      frameIntervalS: median(intervals),
      codec: (await track.getCodecParameterString()) ?? (await codecId(track)),
      widthPx: track.displayWidth,
      heightPx: track.displayHeight,
    });
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code !== undefined) return failed(`cannot be read (${code}); see that you may read it`);
    return failed('cannot be read as a film; it may be of another format, or cut short while copying');
  }
}

const TOO_LONG = `holds more than ${MOST_FRAMES} frames, the most that a film of a trial takes; cut it to the trial`;

/** What the file itself calls a codec that the reader does not know; null where that is no word. */
async function codecId(track: InputVideoTrack): Promise<string | null> {
  const id = await track.getInternalCodecId();
  return typeof id === 'string' ? id : null;
}

/** A film whose index stands in front lists frames that a cut has taken away: the last one is read to see. */
async function hasLastFrame(sink: EncodedPacketSink): Promise<boolean> {
  try {
    const last = await sink.getPacket(Infinity);
    return last !== null && last.data.byteLength === last.byteLength && last.byteLength > 0;
  } catch {
    return false;
  }
}
