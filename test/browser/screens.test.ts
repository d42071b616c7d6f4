/** No screen and no dialog breaks a rule that axe-core can see: WCAG 2.2 A and AA, and its best practices. */
import { expect, it } from 'vitest';
import { axeFaults } from './axefaults.ts';
import { journey } from './journey.ts';

const dialogs = [
  [/^Cautions$/, 'Cautions'],
  [/^Keys$/, 'Keys'],
  [/^At work/, 'Who is at work'],
] as const;

journey('accessibility', [], (scene) => {
  const choose = (theme: string) => scene.page.getByRole('radio', { name: theme, exact: true }).check();
  const themes = ['Light', 'Dark', 'Daylight'] as const;

  it('is really looked for', async () => {
    const { page } = scene;
    await page.evaluate(() => document.querySelector('main')!.append(document.createElement('button')));
    expect((await axeFaults(page, 'a button without a name')).join()).toContain('button-name');
    await page.reload();
  });

  it('holds at the first start', async () => {
    const { page } = scene;
    await page.getByRole('heading', { name: 'No testing day yet' }).waitFor();
    const found: string[] = [];
    for (const theme of themes) {
      await choose(theme);
      found.push(...(await axeFaults(page, `${theme}, no day`)));
    }
    expect(found).toEqual([]);
  });

  it.each(themes)('holds on every screen and dialog, %s', async (theme) => {
    const { page } = scene;
    const found: string[] = [];
    const look = async (what: string) => void found.push(...(await axeFaults(page, what)));
    const close = () => page.getByRole('dialog').getByRole('button', { name: 'Close', exact: true }).click();
    if (theme === 'Light') {
      await page.getByRole('button', { name: 'Open the sample day' }).click();
      await page.waitForURL(/#\/day\/1$/);
    }
    await choose(theme);

    await scene.go('#/days');
    await page.getByRole('heading', { name: 'Testing days' }).waitFor();
    await look('days');
    await page.getByRole('button', { name: 'Open a day folder…' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Take off' }).first().waitFor();
    await look('folder chooser');
    await page.getByRole('dialog').getByLabel('Path of another folder').fill('nowhere');
    await page.getByRole('button', { name: 'Allow this place' }).click();
    await page.getByRole('dialog').getByRole('alert').waitFor();
    await look('folder chooser with a problem');
    await close();

    await scene.go('#/day/1');
    await page.getByRole('heading', { name: 'harbour-morning' }).waitFor();
    await look('day');
    await page.getByText('on the numbers').first().click();
    await look('day with notes open');
    await page.getByRole('button', { name: 'Exclude P06-1' }).click();
    await page.getByRole('dialog', { name: 'Exclude P06-1' }).waitFor();
    await look('exclude dialog');
    await close();

    for (const trial of ['P01-1', 'P02-2', 'P03-2', 'P06-2']) {
      await scene.go(`#/day/1/trial/${trial}`);
      await page.getByRole('heading', { name: `Trial ${trial}`, exact: true }).waitFor();
      await look(`trial ${trial}`);
    }
    await page.getByRole('button', { name: 'Exclude…' }).click();
    await page.getByRole('button', { name: 'Exclude', exact: true }).click();
    await page.getByText('An excluded trial needs a reason.').waitFor();
    await look('trial, asking for the reason');
    await page.getByRole('button', { name: 'Cancel' }).click();

    for (const [opener, title] of dialogs) {
      await page.getByRole('button', { name: opener }).first().click();
      await page.getByRole('dialog', { name: title }).waitFor();
      await look(`dialog ${title}`);
      await close();
    }
    expect(found).toEqual([]);
  });
});
