/** A loss or a damage is told until somebody takes note of it; who did is kept, and the check goes on telling. */
import { copyFileSync, cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { benchLab, CARD } from '../benchlab.ts';
import { lanebench } from '../../cli/run.ts';
import { oldLab } from '../oldlabs.ts';
import { tempFolder } from '../../files/day-builder.ts';

const verify = (home: string) => lanebench(['verify'], { env: { ...process.env, LANEBENCH_HOME: home } });

test('a lost end of the log', { timeout: 120_000 }, async () => {
  const home = join(await tempFolder(), 'lab');
  const first = await benchLab(undefined, home);
  await first.ask('sensors.save', { card: CARD, seen: null });
  await first.lab.close();
  const earlier = join(await tempFolder(), 'earlier');
  cpSync(home, earlier, { recursive: true });
  const second = await benchLab(undefined, home);
  await second.ask('sensors.save', { card: { ...CARD, sensor: 'S-10' }, seen: null });
  await second.lab.close();
  // The database of before under the head of after: the last act is cut off.
  copyFileSync(join(home, 'lab.head'), join(earlier, 'lab.head'));

  const third = await benchLab(undefined, earlier);
  const [notice] = (await third.ask('app.describe', {})).notices;
  expect(notice?.says).toMatch(/^1 of 2 acts that were recorded are no longer in the lab folder/);
  expect((await third.fault('lab.takeNote', { note: 'another' })).code).toBe('not_found');
  await third.ask('app.setOperator', { operator: 'KL' });
  expect((await third.ask('lab.takeNote', { note: notice!.note! })).notices).toEqual([]);
  expect((await third.fault('lab.takeNote', { note: notice!.note! })).code).toBe('not_found');
  await third.lab.close();
  const fourth = await benchLab(undefined, earlier);
  expect((await fourth.ask('app.describe', {})).notices).toEqual([]);
  await fourth.lab.close();
  const checked = await verify(earlier);
  expect(checked.status).toBe(0);
  expect(checked.stdout).toMatch(
    /all is as it was recorded\. 1 of 2 acts were lost; KL took note of it on \d{4}-\d\d-\d\d\.\n$/,
  );
});

test('a damaged decision', { timeout: 120_000 }, async () => {
  const home = await oldLab('store-3');
  await (await benchLab(undefined, home)).lab.close();
  const file = join(home, 'lab.sqlite');
  const text = readFileSync(file).toString('latin1').replaceAll('goggles lost', 'goggles lxst');
  writeFileSync(file, Buffer.from(text, 'latin1'));
  const first = await benchLab(undefined, home);
  const { notices } = await first.ask('app.describe', {});
  expect(notices.map(({ says }) => says).join()).toMatch(/Decision \d+ is not what was recorded/);
  for (const { note } of notices) await first.ask('lab.takeNote', { note: note! });
  expect((await first.ask('app.describe', {})).notices).toEqual([]);
  await first.lab.close();
  const again = await benchLab(undefined, home);
  expect((await again.ask('app.describe', {})).notices).toEqual([]);
  await again.lab.close();
  // Noted is not mended: the check says both.
  const checked = await verify(home);
  expect(checked.status).toBe(3);
  expect(checked.stdout).toMatch(/^lab\.sqlite: Decision \d+ is not what was recorded/m);
  expect(checked.stdout).toMatch(/^Decision \d+ is not what was recorded.*took note of it on/m);
});
