/**
 * The sample day from the folders of three labs: names, encodings, separators and columns of each its own. What is
 * gathered is processed to the same bytes as the sample day itself, which this program did not gather.
 */
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { gatherHere, SAMPLE } from '../../cli/run.ts';
import { processFolder, readFolder, records, tempFolder, type Processed } from '../../files/day-builder.ts';
import { buildArchive, LAYOUTS, pathsBelow } from './archives.ts';

const TABLES = ['participants', 'calibrations', 'trials', 'strokes', 'refused'];
let folder = '';
let sample: Processed;
beforeAll(async () => {
  folder = await tempFolder();
  sample = await processFolder(SAMPLE);
});

describe.each(LAYOUTS)('an archive laid out %s', (layout) => {
  const at = (name: string) => join(folder, `${layout} ${name}`);
  const [archive, day] = [() => at('archive'), () => at('day')];
  let before: ReadonlyMap<string, string>;
  beforeAll(async () => {
    await writeFile(at('map.json'), JSON.stringify(await buildArchive(layout, archive())));
    before = await readFolder(archive());
    const ran = await gatherHere(archive(), at('map.json'), day());
    expect(ran.stderr).toBe('');
    expect(ran.status).toBe(0);
    expect(ran.stdout).toMatch(/^14 trials of 7 swimmers gathered into .*: 13 traces, 15 films copied\./);
    expect(ran.stdout).toMatch(/Left out for consent: 1 swimmer, 2 trials, 2 files\./);
  });

  it('is processed to the bytes of the day it was made from', async () => {
    const { files } = await processFolder(day());
    for (const name of TABLES) expect(files.get(`${name}.csv`), name).toBe(sample.files.get(`${name}.csv`));
  });

  it('stays as it is', async () => expect(await readFolder(archive())).toEqual(before));

  it('is gathered to the same bytes again, under another name', async () => {
    await gatherHere(archive(), at('map.json'), at('again'));
    expect(await readFolder(at('again'))).toEqual(await readFolder(day()));
  });

  it('says what was not copied, and names nobody without consent', async () => {
    const gathered = records((await readFolder(day())).get('gathered.csv')!);
    expect(gathered.filter(({ what }) => what === 'none').map(({ file }) => file)).toEqual(['read me.txt']);
    expect(gathered.filter(({ what }) => what === 'table').length).toBe(layout === 'by trial' ? 7 : 8);
    expect(await pathsBelow(day())).not.toContainEqual(expect.stringContaining('P08'));
    for (const [name, text] of await readFolder(day()))
      if (name.endsWith('.csv') && !name.startsWith('traces/')) expect(text, name).not.toMatch(/P08/i);
  });
});
