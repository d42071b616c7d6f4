/** The sample day with one swimmer under a code of sixteen letters, which no film holds by chance. */
import { cpSync, readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { SAMPLE } from '../../cli/run.ts';
import { tempFolder } from '../../files/day-builder.ts';

export const CODE = 'Q7XKB2M9ZT4LWH3V';

/** The sample's swimmer who gets the code. */
const WAS = 'P02';

/** Swimmers who are left away: four are enough. */
const LEFT_AWAY = /P0[4567]/;

/** A day folder in which P02 is called {@link CODE}, in every table and name of a file, and another's note names them. */
export async function personDay(): Promise<string> {
  const folder = join(await tempFolder(), 'day');
  cpSync(SAMPLE, folder, { recursive: true, filter: (path) => !LEFT_AWAY.test(path) });
  for (const below of ['.', 'traces', 'video'])
    for (const name of readdirSync(join(folder, below)))
      if (name.includes(WAS))
        renameSync(join(folder, below, name), join(folder, below, name.replaceAll(WAS, CODE)));
  for (const name of readdirSync(folder))
    if (name.endsWith('.csv')) {
      const path = join(folder, name);
      const lines = readFileSync(path, 'utf8').split('\n');
      const text = lines
        .filter((line) => !LEFT_AWAY.test(line))
        .join('\n')
        .replaceAll(WAS, CODE);
      writeFileSync(path, text.replace('142,144,2,given,', `142,144,2,given,swam beside ${CODE}`));
    }
  return folder;
}

/** Files below a folder that hold these bytes, in their content or name. */
export function filesWith(folder: string, text: string): readonly string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map(({ parentPath, name }) => join(parentPath, name))
    .filter((path) => path.slice(folder.length).includes(text) || readFileSync(path).includes(text));
}
