/** Rules that axe-core can see: WCAG 2.2 A and AA, and its best practices. */
import axe from 'axe-core';
import type { Page } from 'playwright-core';
import { THEMES, wear } from './screen.ts';

const STANDARDS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
/** Rules that colours and widths of lines play a part in: a theme changes nothing else. */
const BY_THEME = ['color-contrast', 'link-in-text-block', 'target-size'];
const BOTH_SIZES = [1280, 800] as const;
const HEIGHT = 800;

/**
 * Violations on what is on the screen, in the three themes, at each width; each with where it is and the first element
 * that breaks it. Light is left on.
 */
export async function axeFaults(
  page: Page,
  where: string,
  widths: readonly number[] = BOTH_SIZES,
): Promise<readonly string[]> {
  const found: string[] = [];
  for (const width of widths) {
    await page.setViewportSize({ width, height: HEIGHT });
    // As a text, since the page itself lets in no script but its own.
    await page.evaluate(`window.axe ?? (() => { ${axe.source} })()`);
    for (const theme of THEMES) {
      await wear(page, theme);
      const { violations } = await page.evaluate(
        (runOnly) =>
          (window as unknown as { axe: typeof axe }).axe.run(document, {
            runOnly,
            resultTypes: ['violations'],
          }),
        theme === 'Light'
          ? { type: 'tag' as const, values: STANDARDS }
          : { type: 'rule' as const, values: BY_THEME },
      );
      for (const { id, nodes } of violations)
        found.push(
          `${where}, ${theme}, ${width} px: ${id} (${nodes.length}) ${nodes[0]?.html} ${nodes[0]?.failureSummary}`,
        );
    }
  }
  await page.setViewportSize({ width: BOTH_SIZES[0], height: HEIGHT });
  return found;
}
