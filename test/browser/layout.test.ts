/**
 * Room: nothing is cut off, nothing lies over its neighbour, and no page scrolls sideways. Pictures of every screen are
 * kept in a temporary folder for a person to look at.
 */
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import { journey } from './journey.ts';

const SIZES = [
  { width: 1280, height: 800 },
  { width: 1920, height: 1080 },
  { width: 800, height: 800 },
] as const;
const THEMES = ['Light', 'Dark', 'Daylight'] as const;

/** What has too little room on the page, in words. */
function cramped(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const name = (element: Element) =>
      `${element.tagName.toLowerCase()}.${element.getAttribute('class') ?? ''} "${(element as HTMLElement).innerText?.slice(0, 40) ?? ''}"`;
    const found: string[] = [];
    const root = document.documentElement;
    if (root.scrollWidth > root.clientWidth)
      found.push(`the page is ${root.scrollWidth - root.clientWidth} px too wide`);

    for (const element of document.querySelectorAll<HTMLElement>('body *')) {
      if (!element.checkVisibility() || element.closest('.unseen, svg, select') !== null) continue;
      const style = getComputedStyle(element);
      const hasText = [...element.childNodes].some(
        (node) => node.nodeType === 3 && node.textContent!.trim() !== '',
      );
      const hides = style.overflowX === 'hidden' || style.overflowX === 'clip';
      if ((hides || (hasText && style.display !== 'inline')) && element.scrollWidth > element.clientWidth + 1)
        found.push(
          `${name(element)} is cut off or spills: ${element.scrollWidth} in ${element.clientWidth} px`,
        );
    }

    const over = (a: DOMRect, b: DOMRect) =>
      Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1 &&
      Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1;
    // The picture of a radio button lies over the button itself, so its label stands for both.
    for (const place of document.querySelectorAll('#app > header, main header, .transport, .tools, .first')) {
      const controls = [...place.querySelectorAll('button, a, select, label, h1, h2, p')].filter(
        (one) => one.checkVisibility() && one.parentElement!.closest('label, button, p') === null,
      );
      for (const [index, one] of controls.entries())
        for (const other of controls.slice(index + 1))
          if (!one.contains(other) && over(one.getBoundingClientRect(), other.getBoundingClientRect()))
            found.push(`${name(one)} and ${name(other)} lie over each other`);
    }
    return found;
  });
}

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
