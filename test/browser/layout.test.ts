/**
 * Room: nothing is cut off, nothing lies over its neighbour, and no page scrolls sideways. Pictures of every screen are
 * kept in a temporary folder for a person to look at.
 */
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { STAGED, stageDeck } from './deckstage.ts';
import { journey } from './journey.ts';
import { cramped } from './room.ts';

const SIZES = [
  { width: 1280, height: 800 },
  { width: 1920, height: 1080 },
  { width: 800, height: 800 },
] as const;
const THEMES = ['Light', 'Dark', 'Daylight'] as const;

journey('the room on the screen', [], (scene) => {
  const pictures = mkdtempSync(join(tmpdir(), 'lanebench-pictures-'));

  async function look(what: string, found: string[]): Promise<void> {
    const { page } = scene;
    for (const size of SIZES) {
      await page.setViewportSize(size);
      // Charts and tables take a picture or two to follow a new size.
      await page.waitForTimeout(150);
      found.push(...(await cramped(page)).map((fault) => `${what}, ${size.width} px: ${fault}`));
      await page.screenshot({ path: join(pictures, `${what}-${size.width}.png`) });
      if (size.width === 1280)
        await page.screenshot({ path: join(pictures, `${what}-${size.width}-all.png`), fullPage: true });
    }
    await page.setViewportSize(SIZES[0]);
  }

  it('is enough at the first start', async () => {
    const found: string[] = [];
    await scene.page.getByRole('heading', { name: 'No testing day yet' }).waitFor();
    await look('first', found);
    await scene.page.getByRole('button', { name: 'Open the sample day' }).click();
    await scene.page.waitForURL(/#\/day\/1$/);
    await stageDeck(scene);
    expect(found).toEqual([]);
  });

  it.each(THEMES)('is enough on every screen, %s', async (theme) => {
    const { page } = scene;
    const found: string[] = [];
    await page.getByRole('radio', { name: theme, exact: true }).check();
    for (const [what, hash, heading] of [
      ['days', '#/days', 'Testing days'],
      ['day', '#/day/1', 'harbour-morning'],
      ['trial-P01-1', '#/day/1/trial/P01-1', 'Trial P01-1'],
      ['trial-P02-2', '#/day/1/trial/P02-2', 'Trial P02-2'],
      ['trial-P03-2', '#/day/1/trial/P03-2', 'Trial P03-2'],
      ['protocols', '#/protocols', 'Protocols'],
      ['builder', `#/protocols/${STAGED.protocol}`, '25 m sprint, middle 10 m'],
      ['new-day', '#/new-day', 'New testing day'],
      ['prepare', '#/day/2/prepare', `Prepare ${STAGED.day}`],
      ['deck', '#/day/2/deck', STAGED.trial],
      ['files', '#/day/2/files', `Files of ${STAGED.day}`],
      ['close', '#/day/2/close', `Close ${STAGED.day}`],
    ] as const) {
      await scene.go(hash);
      await page.getByRole('heading', { name: heading, exact: true }).waitFor();
      await page.waitForTimeout(300);
      await look(`${theme.toLowerCase()}-${what}`, found);
    }
    console.log(`Pictures of the screens: ${pictures}`);
    expect(found).toEqual([]);
  });
});
