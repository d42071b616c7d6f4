/** A screen as it is looked at: at rest, in each of the themes, and whether anything has too little room on it. */
import type { Page } from 'playwright-core';

export const THEMES = ['Dark', 'Daylight', 'Light'] as const;

/** Chooses the colours, also where a dialog lies over their buttons. */
export async function wear(page: Page, theme: (typeof THEMES)[number]): Promise<void> {
  await page.locator(`header input[type="radio"][value="${theme.toLowerCase()}"]`).evaluate((radio) => {
    (radio as HTMLInputElement).click();
  });
  await page.waitForFunction(
    (name) => document.documentElement.dataset['theme'] === name,
    theme.toLowerCase(),
  );
}

/** Waits until the page has been drawn some times over without a change: tables and charts have followed a new size. */
export async function atRest(page: Page): Promise<void> {
  await page.evaluate(
    () =>
      new Promise<void>((resolve) => {
        const [same, enough] = [{ seen: '', times: 0 }, 6];
        const look = () => {
          const { scrollWidth, scrollHeight, outerHTML } = document.documentElement;
          const seen = `${scrollWidth} ${scrollHeight} ${outerHTML.length}`;
          same.times = seen === same.seen ? same.times + 1 : 0;
          same.seen = seen;
          if (same.times === enough) resolve();
          else requestAnimationFrame(look);
        };
        look();
      }),
  );
}

/** What has too little room on the page, in words. */
export function cramped(page: Page): Promise<string[]> {
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
      // Cut away whole, for those who hear the page.
      if (style.clipPath === 'inset(50%)') continue;
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
