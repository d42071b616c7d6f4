/** Rules that axe-core can see: WCAG 2.2 A and AA, and its best practices. */
import axe from 'axe-core';
import type { Page } from 'playwright-core';

const SIZES = [
  { width: 1280, height: 800 },
  { width: 800, height: 800 },
] as const;

/** Violations on what is on the screen, at both sizes; each with the size and the first element that breaks it. */
export async function axeFaults(page: Page, where: string): Promise<readonly string[]> {
  const found: string[] = [];
  for (const size of SIZES) {
    await page.setViewportSize(size);
    // As a text, since the page itself lets in no script but its own.
    await page.evaluate(`window.axe ?? (() => { ${axe.source} })()`);
    const { violations } = await page.evaluate(() =>
      (window as unknown as { axe: typeof axe }).axe.run(document, {
        runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
        resultTypes: ['violations'],
      }),
    );
    for (const { id, nodes } of violations)
      found.push(
        `${where}, ${size.width} px: ${id} (${nodes.length}) ${nodes[0]?.html} ${nodes[0]?.failureSummary}`,
      );
  }
  await page.setViewportSize(SIZES[0]);
  return found;
}
