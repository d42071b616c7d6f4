/** Room on a page: whether anything is cut off, spills or lies over its neighbour. */
import type { Page } from 'playwright-core';

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
