/**
 * Writes the invented testing day. `node sample-sessions/make/make.ts` makes everything and needs ffmpeg;
 * `--tables` makes all but the films.
 */
import { spawnSync } from 'node:child_process';
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { filmFile } from './cameras.ts';
import { encodeFilm } from './film.ts';
import { TRIALS } from './plan.ts';
import { HEIGHT, WIDTH } from './raster.ts';
import { DAY } from './scenario.ts';
import { FRAME_CODE } from './scene.ts';
import { swimOf } from './swim.ts';
import * as tables from './tables.ts';
import { truthJson } from './truth.ts';

const withFilms = !process.argv.includes('--tables');
if (withFilms && spawnSync('ffmpeg', ['-version']).status !== 0) {
  console.error('The films need ffmpeg on the path. Install it, or make all but the films with --tables.');
  process.exit(1);
}

const home = dirname(import.meta.dirname);
const dayFolder = join(home, DAY);
const swims = TRIALS.map(swimOf);

function write(folder: string, file: string, text: string): void {
  const path = join(folder, file);
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, text);
}

function filmCodeJson(): string {
  const { x, y, cell, bits } = FRAME_CODE;
  const what =
    'Bar code in every film, in film pixels: one white cell at x, then the bits of the zero-based frame index, ' +
    'most significant first, white for 1, then one black cell. Read each cell at its centre; 128 parts black from white.';
  return (
    JSON.stringify({ what, width: WIDTH, height: HEIGHT, x, y, cell, bits, first_bit_x: x + cell }, null, 2) +
    '\n'
  );
}

rmSync(join(dayFolder, 'traces'), { recursive: true, force: true });
write(dayFolder, 'day.json', tables.dayJson());
write(dayFolder, 'roster.csv', tables.rosterCsv());
write(dayFolder, 'calibration.csv', tables.calibrationCsv());
write(dayFolder, 'checks.csv', tables.checksCsv());
write(dayFolder, 'zeros.csv', tables.zerosCsv(swims));
write(dayFolder, 'trials.csv', tables.trialsCsv(swims));
write(dayFolder, 'videos.csv', tables.videosCsv(swims));
write(dayFolder, 'sync.csv', tables.syncCsv(swims));
write(dayFolder, 'events.csv', tables.eventsCsv(swims));
write(dayFolder, 'strokes.csv', tables.strokesCsv(swims));
for (const swim of swims) {
  if (swim.trial.dialect) write(dayFolder, tables.traceFile(swim), tables.traceCsv(swim, swim.trial.dialect));
}
write(home, 'truth.json', truthJson(swims));
write(home, 'film-code.json', filmCodeJson());

if (withFilms) {
  rmSync(join(dayFolder, 'video'), { recursive: true, force: true });
  mkdirSync(join(dayFolder, 'video'));
  for (const swim of swims) {
    for (const film of swim.trial.films) {
      const file = filmFile(swim, film);
      await encodeFilm(swim, film, join(dayFolder, file));
      console.log(file);
    }
  }
}
