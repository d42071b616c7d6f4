/** What texts of a day say to a terminal is shown, not obeyed; the lab folder takes no dataset, through a link either. */
import { mkdir, symlink } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { buildDay, readFolder, tempFolder } from '../files/day-builder.ts';
import { lanebench, processHere } from './run.ts';
import { runProcess } from '../../../main/cli/process.ts';

test('control characters of a file’s texts do not reach the terminal', async () => {
  const day = await buildDay({
    'trials.csv': 'trial,participant\nT1,\u001b[2Jgone\nT2,\u009b31mred\n',
  });
  const { stdout, stderr, status } = await lanebench([
    'process',
    day,
    '--out',
    join(await tempFolder(), 'out'),
  ]);
  expect(status).toBe(1);
  expect(stderr).toContain('⟨U+001B⟩');
  expect(stdout + stderr).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/); // eslint-disable-line no-control-regex -- they are looked for
});

test('OUT in the lab folder is refused, through a link too', async () => {
  const [day, root] = [await buildDay(), await tempFolder()];
  const home = join(root, 'lab');
  await mkdir(join(home, 'raw'), { recursive: true });
  await symlink(home, join(root, 'elsewhere'));
  for (const out of [join(home, 'out'), join(root, 'elsewhere', 'raw', 'out')]) {
    const said: string[] = [];
    const terminal = { print: () => undefined, error: (text: string) => said.push(text), progress: null };
    expect(await runProcess({ folder: day, out, replace: false, home }, terminal)).toBe(2);
    expect(said.join()).toContain('the lab folder must lie apart');
  }
});

test('a number too large to compute with is an empty cell, never Infinity', async () => {
  const out = join(await tempFolder(), 'out');
  const day = await buildDay({
    'traces/T1.csv': (text) => text.replace(/^3\.(\d+),\d+,/gm, '3.$1,1e308,'),
    'zeros.csv': (text) => text.replaceAll('8000', '-1e308'),
  });
  expect((await processHere(day, out)).status).toBe(0);
  for (const [name, text] of await readFolder(out))
    expect(text, name).not.toMatch(/(^|,)-?(Infinity|NaN)(,|$)/m);
});
