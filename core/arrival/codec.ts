/** Whether a film that was read can be shown, and what to do where it cannot. */

/** What window and browser play (formats.md section 1): H.264, VP8, VP9, AV1, by the first part of a codec string. */
const PLAYED: ReadonlySet<string> = new Set(['avc1', 'avc3', 'vp8', 'vp08', 'vp09', 'vp9', 'av01']);

/** Names of codecs that cameras and phones write and windows do not play, by the first part of a codec string. */
const NAMES: Readonly<Record<string, string>> = {
  hvc1: 'HEVC (H.265)',
  hev1: 'HEVC (H.265)',
  dvh1: 'HEVC (H.265)',
  dvhe: 'HEVC (H.265)',
  mp4v: 'MPEG-4 Visual',
  ap4h: 'ProRes',
  apch: 'ProRes',
  apcn: 'ProRes',
  vvc1: 'VVC (H.266)',
};

/**
 * Why a film cannot be played and how to make a copy that can; null where it can.
 * @param codec its codec string after RFC 6381; null where the codec is not known
 */
export function codecFault(file: string, codec: string | null): string | null {
  const kind = codec?.split('.')[0] ?? '';
  if (PLAYED.has(kind)) return null;
  const name = NAMES[kind] ?? (codec === null ? 'an unknown codec' : `the codec ${codec}`);
  const base = file.replace(/^.*[\\/]/, '');
  const stem = base.replace(/\.[^.]*$/, '');
  return (
    `${file} is in ${name}, which cannot be shown here; its frame times are read all the same. Make a copy that can: ` +
    `ffmpeg -i "${base}" -c:v libx264 -crf 18 -pix_fmt yuv420p -fps_mode passthrough "${stem}-h264.mp4" — ` +
    `then name the copy in the day’s table and open the day again.`
  );
}
