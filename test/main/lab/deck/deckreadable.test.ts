/** A file that cannot be read, and is its trial's by its name: the trial's check says so; the files are the sample day's (invented). */
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { SAMPLE } from '../../cli/run.ts';
import { tempFolder } from '../../files/day-builder.ts';
import { benchLab } from '../benchlab.ts';
import { beginDay, prepareDay, swim } from './deckday.ts';

it(
  'tells at its trial of a film and a trace that cannot be read, until others come',
  { timeout: 180_000 },
  async () => {
    const lab = await benchLab();
    await lab.bring(SAMPLE);
    const day = await beginDay(lab, await tempFolder());
    await prepareDay(day);
    await lab.ask('deck.watch', { day: day.id, path: day.folder });
    const trial = (await day.view()).now!;
    await swim(day, trial);
    const findings = async () => {
      const { report } = await lab.ask('deck.arrival', { day: day.id, trial });
      return report.findings.map(({ verdict, about, says }) => `${verdict} ${about}: ${says}`);
    };
    const film = readFileSync(join(SAMPLE, 'video/P02-1.mp4'));
    writeFileSync(join(day.folder, `${trial}-A.mp4`), film.subarray(0, 60_000));
    writeFileSync(join(day.folder, `${trial}.csv`), 'time,L,R\n0.000,8199,8690\n');
    await day.until(({ files }) => files.filter(({ state }) => state === 'unreadable').length === 2);
    expect(await findings()).toEqual([
      `swim_again trace: ${trial}.csv cannot be used: it holds fewer than two samples.`,
      `look film: The film of camera B has not come yet.`,
      `look film: The film of camera A cannot be used: ${trial}-A.mp4 was cut short: its last frame is missing; copy it again.`,
    ]);
    day.drop('traces/P01-1.csv', `${trial}.csv`);
    day.drop('video/P02-1.mp4', `${trial}-A.mp4`);
    await day.until(({ files }) => files.filter(({ state }) => state === 'placed').length === 2);
    expect((await findings()).join('\n')).not.toContain('cannot be used');
  },
);
