/** Files that come to a testing day in parts, from another day, or in another container; the files are the sample day's (invented). */
import { readFileSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { SAMPLE } from '../../cli/run.ts';
import { tempFolder } from '../../files/day-builder.ts';
import { benchLab } from '../benchlab.ts';
import { beginDay, prepareDay } from './deckday.ts';

async function watchedDay() {
  const lab = await benchLab();
  await lab.bring(SAMPLE);
  const day = await beginDay(lab, await tempFolder());
  await prepareDay(day);
  await lab.ask('deck.watch', { day: day.id, path: day.folder });
  return { lab, day };
}

describe('a file that comes to a testing day', () => {
  it('in two parts, with a pause between them, ends as the whole trace of its trial', async () => {
    const { day } = await watchedDay();
    const content = readFileSync(join(SAMPLE, 'traces/P01-1.csv'));
    const path = join(day.folder, 'P01-1.csv');
    writeFileSync(path, content.subarray(0, content.length >> 1));
    await day.until(({ files }) => files.some(({ place }) => place?.trial === 'P01-1'));
    writeFileSync(path, content);
    const { files } = await day.until((view) => view.files.length === 2);
    expect(files.map(({ state, bytes, place }) => [state, bytes, place?.trial ?? null])).toEqual([
      ['twice', content.length >> 1, null],
      ['placed', content.length, 'P01-1'],
    ]);
  });

  it('from before the noon of the day before waits for a person; any later one is placed', async () => {
    const { day } = await watchedDay();
    // By this computer's clock, as the day's date is (test/core/deck/build.ts: 2026-03-14).
    for (const [code, minute] of [
      ['P01', 59],
      ['P02', 61],
    ] as const) {
      const written = new Date(2026, 2, 13, 11, minute);
      utimesSync(join(day.folder, day.drop(`traces/${code}-1.csv`)), written, written);
    }
    const { files } = await day.until((view) => view.files.length === 2);
    const [old, fresh] = files.toSorted((a, b) => a.name.localeCompare(b.name));
    expect(old).toMatchObject({ name: 'P01-1.csv', state: 'offered' });
    expect(old!.says).toMatch(/^It was written on 2026-03-1[234], before this day; is it of this day\?$/);
    expect(fresh).toMatchObject({ name: 'P02-1.csv', state: 'placed' });
    await day.act({
      act: 'file.give',
      file: old!.id,
      to: { trial: 'P01-1', as: 'trace', camera: null },
      why: '',
    });
    expect((await day.view()).files.map(({ state }) => state)).toEqual(['placed', 'placed']);
  });

  it('as a .mov film is handed to the screen as one', async () => {
    const { lab, day } = await watchedDay();
    day.drop('video/P02-1.mp4', 'dry-run.mov');
    await day.until(({ files }) => files.some(({ state }) => state === 'placed'));
    expect(await lab.lab.resource(`/film/${day.id}/dry-run/A`)).toMatchObject({
      // IANA's registry of media types, from memory.
      mime: 'video/quicktime',
    });
  });
});
