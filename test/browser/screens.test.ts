/**
 * Every screen and dialog, looked at: no rule that axe-core can see is broken (WCAG 2.2 A and AA, and its best
 * practices), nothing is cut off, nothing lies over its neighbour, and no page scrolls sideways. With
 * LANEBENCH_TEST_PICTURES set, pictures of the screens are kept there for a person to look at.
 */
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { axeFaults } from './axefaults.ts';
import { STAGED, stageDeck } from './deckstage.ts';
import { journey } from './journey.ts';
import { atRest, cramped, THEMES, wear } from './screen.ts';

const SIZES = [
  { width: 1280, height: 800 },
  { width: 1920, height: 1080 },
  { width: 800, height: 800 },
] as const;
const PICTURES = process.env['LANEBENCH_TEST_PICTURES'];

const dialogs = [
  [/^Cautions$/, 'Cautions'],
  [/^Keys$/, 'Keys'],
  [/^At work/, 'Who is at work'],
] as const;

journey('the screens', [], (scene) => {
  const heading = (name: string) => scene.page.getByRole('heading', { name, exact: true }).waitFor();

  /** What is wrong with what is on the screen, at every size and in every theme. */
  async function look(what: string): Promise<readonly string[]> {
    const { page } = scene;
    await atRest(page);
    const found = [...(await axeFaults(page, what))];
    for (const size of SIZES) {
      await page.setViewportSize(size);
      for (const theme of THEMES) {
        await wear(page, theme);
        await atRest(page);
        found.push(...(await cramped(page)).map((fault) => `${what}, ${theme}, ${size.width} px: ${fault}`));
        if (PICTURES !== undefined)
          await page.screenshot({
            path: join(PICTURES, `${what.replaceAll(' ', '-')}-${theme}-${size.width}.png`.toLowerCase()),
            fullPage: true,
          });
      }
    }
    await page.setViewportSize(SIZES[0]);
    return found;
  }

  it('faults are really looked for', async () => {
    const { page } = scene;
    await heading('No testing day yet');
    await page.evaluate(() => {
      const button = document.createElement('button');
      button.style.width = '4000px';
      document.querySelector('main')!.append(button);
    });
    const found = (await look('a button too wide, without a name')).join();
    expect(found).toContain('button-name');
    expect(found).toContain('px too wide');
    await page.evaluate(() => {
      const faint = document.createElement('p');
      faint.textContent = 'Dark on dark';
      faint.style.color = '#333333';
      document.querySelector('main')!.replaceChildren(faint);
    });
    expect((await axeFaults(page, 'faint')).join()).toContain('faint, Dark, 1280 px: color-contrast');
    await page.reload();
  });

  it('at the first start', async () => {
    await heading('No testing day yet');
    expect(await look('first start')).toEqual([]);
    await scene.page.getByRole('button', { name: 'Open the sample day' }).click();
    await scene.page.waitForURL(/#\/day\/1$/);
    await stageDeck(scene);
  });

  it.each([
    ['days', '#/days', 'Testing days'],
    ['day', '#/day/1', 'harbour-morning'],
    ['trial P01-1', '#/day/1/trial/P01-1', 'Trial P01-1'],
    ['trial P02-2', '#/day/1/trial/P02-2', 'Trial P02-2'],
    ['trial P03-2', '#/day/1/trial/P03-2', 'Trial P03-2'],
    ['trial P06-2', '#/day/1/trial/P06-2', 'Trial P06-2'],
    ['protocols', '#/protocols', 'Protocols'],
    ['builder', `#/protocols/${STAGED.protocol}`, STAGED.title],
    ['new day', '#/new-day', 'New testing day'],
    ['prepare', '#/day/2/prepare', `Prepare ${STAGED.day}`],
    ['deck', '#/day/2/deck', STAGED.trial],
    ['files', '#/day/2/files', `Files of ${STAGED.day}`],
    ['close', '#/day/2/close', `Close ${STAGED.day}`],
  ])('%s', async (what, hash, title) => {
    await scene.go(hash);
    await heading(title);
    if (what === 'deck') await scene.page.getByRole('heading', { name: /^What was found/ }).waitFor();
    expect(await look(what)).toEqual([]);
  });

  it('dialogs and notes', async () => {
    const { page } = scene;
    const found: string[] = [];
    const check = async (what: string) => void found.push(...(await axeFaults(page, what)));
    const close = () => page.getByRole('dialog').getByRole('button', { name: 'Close', exact: true }).click();

    await scene.go('#/days');
    await page.getByRole('button', { name: 'Open a day folder…' }).click();
    await page.getByRole('dialog').getByRole('button', { name: 'Take off' }).first().waitFor();
    await check('folder chooser');
    await page.getByRole('dialog').getByLabel('Path of another folder').fill('nowhere');
    await page.getByRole('button', { name: 'Allow this place' }).click();
    await page.getByRole('dialog').getByRole('alert').waitFor();
    await check('folder chooser with a problem');
    await close();

    await scene.go('#/day/1');
    await heading('harbour-morning');
    await page.getByText('on the numbers').first().click();
    await check('day with notes open');
    await page.getByRole('button', { name: 'Exclude P06-1' }).click();
    await page.getByRole('dialog', { name: 'Exclude P06-1' }).waitFor();
    await check('exclude dialog');
    await close();

    await scene.go('#/day/1/trial/P06-2');
    await heading('Trial P06-2');
    await page.getByRole('button', { name: 'Exclude…' }).click();
    await page.getByRole('button', { name: 'Exclude', exact: true }).click();
    await page.getByText('An excluded trial needs a reason.').waitFor();
    await check('trial, asking for the reason');
    await page.getByRole('button', { name: 'Cancel' }).click();

    for (const [opener, title] of dialogs) {
      await page.getByRole('button', { name: opener }).first().click();
      await page.getByRole('dialog', { name: title }).waitFor();
      await check(`dialog ${title}`);
      await close();
    }
    expect(found).toEqual([]);
  });
});
