/** Frame times of films against ffprobe, an independent reader of the containers. */
import { execFileSync, spawnSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { copyFile, readFile, truncate, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readFilm } from '../../../main/files/film.ts';
import { tempFolder } from './day-builder.ts';

const FILMS = join(import.meta.dirname, '../../../sample-sessions/harbour-morning/video');
const has = (tool: string) => spawnSync(tool, ['-version']).status === 0;
const noProbe = has('ffprobe') ? null : 'ffprobe is not on the path: nothing to compare with';
const noMake = noProbe ?? (has('ffmpeg') ? null : 'ffmpeg is not on the path: no film can be made');
const folder = await tempFolder();

/** Presentation times of the frames a player shows, s, ascending; demuxed by ffprobe. */
function probe(path: string): number[] {
  const text = execFileSync(
    'ffprobe',
    ['-v', 'error', '-select_streams', 'v:0', '-show_entries', 'packet=pts_time', '-of', 'csv=p=0', path],
    { encoding: 'utf8' },
  );
  return text
    .split('\n')
    .filter((line) => line.trim() !== '')
    .map((line) => Number(line.split(',')[0]))
    .toSorted((a, b) => a - b);
}

async function timesOf(path: string): Promise<readonly number[]> {
  const film = await readFilm(path);
  if (!film.ok) throw new Error(film.error);
  return film.value.frameTimesS;
}

function expectSame(times: readonly number[], expected: readonly number[]): void {
  expect(times.length).toBe(expected.length);
  // ffprobe prints microseconds.
  times.forEach((time, i) => expect(Math.abs(time - expected[i]!), `frame ${i}`).toBeLessThan(1e-6));
}

describe('the sample films', () => {
  it.for(readdirSync(FILMS))('%s has the frame times that ffprobe finds', async (name, { skip }) => {
    if (noProbe !== null) skip(noProbe);
    expectSame(await timesOf(join(FILMS, name)), probe(join(FILMS, name)));
  });

  it('have the frame interval of their median', async () => {
    const interval = async (name: string) => {
      const film = await readFilm(join(FILMS, name));
      return film.ok ? film.value.frameIntervalS : null;
    };
    expect(await interval('P01-1-A.mp4')).toBeCloseTo(0.02, 9);
    expect(await interval('P04-1.mp4')).toBeCloseTo(1001 / 60000, 6);
    // WebM rounds to 1 ms: 59.94 frames a second stand 16 or 17 ms apart.
    expect(await interval('P01-1-B.webm')).toBeCloseTo(0.017, 9);
  });
});

describe('films made on the spot', () => {
  const make = (name: string, ...options: readonly string[]) => {
    const path = join(folder, name);
    execFileSync('ffmpeg', [
      '-v',
      'error',
      '-y',
      '-f',
      'lavfi',
      '-i',
      'testsrc=size=64x48:rate=25:duration=1',
      ...options,
      path,
    ]);
    return path;
  };

  it.for<readonly [string, string, readonly string[]]>([
    ['a WebM that starts at 1.5 s', 'offset.webm', ['-c:v', 'libvpx-vp9', '-output_ts_offset', '1.5']],
    [
      'an MP4 that starts at 0.4 s (edit list)',
      'offset.mp4',
      ['-c:v', 'libx264', '-output_ts_offset', '0.4'],
    ],
    ['an MP4 with frames out of decoding order', 'reordered.mp4', ['-c:v', 'libx264', '-bf', '3']],
    [
      'a fragmented MP4',
      'fragments.mp4',
      ['-c:v', 'libx264', '-movflags', 'frag_keyframe+empty_moov', '-g', '5'],
    ],
    [
      'a WebM of variable rate',
      'variable.webm',
      ['-vf', "select='not(mod(n,3))+not(mod(n,4))'", '-fps_mode', 'vfr', '-c:v', 'libvpx'],
    ],
  ])('%s', async ([, name, options], { skip }) => {
    if (noMake !== null) skip(noMake);
    const path = make(name, ...options);
    expectSame(await timesOf(path), probe(path));
  });

  it('refuses a file with sound only', async ({ skip }) => {
    if (noMake !== null) skip(noMake);
    const path = join(folder, 'sound.mp4');
    execFileSync('ffmpeg', [
      '-v',
      'error',
      '-y',
      '-f',
      'lavfi',
      '-i',
      'sine=duration=0.2',
      '-c:a',
      'aac',
      path,
    ]);
    expect(await readFilm(path)).toMatchObject({ ok: false });
  });
});

describe('broken films', () => {
  it.each(['P07-1.mp4', 'P05-1.webm'])(
    '%s cut short gives a sentence, or the frames that are wholly there',
    async (name) => {
      const whole = await timesOf(join(FILMS, name));
      const bytes = (await readFile(join(FILMS, name))).length;
      for (const part of [0, 3, 40, 700, Math.floor(bytes / 10), Math.floor(bytes / 2), bytes - 5]) {
        const path = join(folder, `cut-${part}-${name}`);
        await copyFile(join(FILMS, name), path);
        await truncate(path, part);
        const film = await readFilm(path);
        if (film.ok) {
          const { frameTimesS } = film.value;
          expect(frameTimesS).toEqual(whole.slice(0, frameTimesS.length));
          if (part <= bytes / 2)
            expect(frameTimesS.length, `${part} of ${bytes} bytes`).toBeLessThan(whole.length);
        } else expect(film.error).toMatch(/^(cannot be read|holds no|was cut short) ?.+/);
      }
    },
  );

  it('refuses junk, text and an empty file with a sentence that shows no path of the machine', async () => {
    const contents = [
      new Uint8Array(0),
      Buffer.from('not a film\n'),
      Uint8Array.from({ length: 5000 }, (_, i) => (i * 31) % 256),
    ];
    for (const [i, content] of contents.entries()) {
      const path = join(folder, `junk-${i}.mp4`);
      await writeFile(path, content);
      const film = await readFilm(path);
      expect(film.ok).toBe(false);
      if (!film.ok) expect(film.error).not.toContain(folder);
    }
  });

  it('is a value where the file has gone', async () => {
    const film = await readFilm(join(folder, 'gone.mp4'));
    expect(film.ok).toBe(false);
    if (!film.ok) expect(film.error).not.toContain(folder);
  });

  it('does not fall over bytes changed at random', async () => {
    const bytes = await readFile(join(FILMS, 'P01-1-B.webm'));
    let seed = 7;
    for (let round = 0; round < 12; round++) {
      const damaged = Buffer.from(bytes.subarray(0, 40_000));
      for (let k = 0; k < 30; k++) {
        seed = (seed * 1103515245 + 12345) % 2147483648;
        damaged[seed % (round < 6 ? 600 : damaged.length)] = seed % 251;
      }
      const path = join(folder, 'damaged.webm');
      await writeFile(path, damaged);
      const film = await readFilm(path);
      if (film.ok) expect(film.value.frameTimesS.every(Number.isFinite)).toBe(true);
    }
  });
});
