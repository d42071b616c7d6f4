/** Encodes a film: frames are painted one by one and piped to ffmpeg, one thread, no time stamps or versions inside. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { frameTimes, lampsSeen, toTrace } from './cameras.ts';
import type { Film, FilmKind } from './plan.ts';
import { HEIGHT, WIDTH } from './raster.ts';
import { painterOf } from './scene.ts';
import type { Swim } from './swim.ts';

const LAMP_LIT_S = 0.08;
const H264 = [
  ...['-c:v', 'libx264', '-preset', 'slow', '-tune', 'animation', '-crf', '28', '-g', '25', '-bf', '0'],
  ...['-threads', '1', '-pix_fmt', 'yuv420p', '-movflags', '+faststart'],
];
const VP9 = [
  ...['-c:v', 'libvpx-vp9', '-b:v', '0', '-crf', '40', '-g', '25', '-deadline', 'good', '-cpu-used', '3'],
  ...['-auto-alt-ref', '0', '-row-mt', '0', '-threads', '1', '-pix_fmt', 'yuv420p'],
];
const COLOUR = 'scale=out_color_matrix=bt709:out_range=tv';

type Recipe = { rate: string; filter: string; encode: string[] };

/** The filter says the same as `variableFrameMs` in cameras.ts: N is the frame's index, the unit 1 ms. */
const VARIABLE = `settb=1/1000,setpts='20*(N+floor(N/7))+mod(7*N*N+3*N,6)'`;

const RECIPES: Record<FilmKind, Recipe> = {
  'mp4-50': { rate: '50', filter: COLOUR, encode: [...H264, '-video_track_timescale', '50000'] },
  'mp4-5994': { rate: '60000/1001', filter: COLOUR, encode: [...H264, '-video_track_timescale', '60000'] },
  'mp4-vfr': {
    rate: '50',
    filter: `${COLOUR},${VARIABLE}`,
    encode: [
      ...H264,
      '-fps_mode',
      'passthrough',
      '-enc_time_base',
      '1:1000',
      '-video_track_timescale',
      '1000',
    ],
  },
  'webm-50': { rate: '50', filter: COLOUR, encode: VP9 },
  'webm-5994': { rate: '60000/1001', filter: COLOUR, encode: VP9 },
};

export async function encodeFilm(swim: Swim, film: Film, path: string): Promise<void> {
  const { rate, filter, encode } = RECIPES[film.kind];
  const input = ['-f', 'rawvideo', '-pix_fmt', 'rgb24', '-s', `${WIDTH}x${HEIGHT}`, '-r', rate, '-i', '-'];
  const tags = [
    '-colorspace',
    'bt709',
    '-color_primaries',
    'bt709',
    '-color_trc',
    'bt709',
    '-color_range',
    'tv',
  ];
  const exact = ['-map_metadata', '-1', '-fflags', '+bitexact', '-flags:v', '+bitexact'];
  const ffmpeg = spawn(
    'ffmpeg',
    ['-v', 'error', '-y', '-threads', '1', ...input, '-vf', filter, ...encode, ...tags, ...exact, path],
    { stdio: ['pipe', 'inherit', 'inherit'] },
  );
  const ended = once(ffmpeg, 'close');
  const paint = painterOf(swim, film);
  const lamps = lampsSeen(swim, film);
  for (const [index, videoS] of frameTimes(swim, film).entries()) {
    const lit = lamps.some((l) => index >= l.frame && videoS < l.videoS + LAMP_LIT_S);
    const picture = paint(index, toTrace(film, videoS), lit);
    if (!ffmpeg.stdin.write(picture)) await once(ffmpeg.stdin, 'drain');
  }
  ffmpeg.stdin.end();
  const [status] = (await ended) as [number | null];
  if (status !== 0) throw new Error(`ffmpeg stopped with ${status} at ${path}`);
}
