/** Numbers as the screens show them, read back and held against the dataset's. */
import type { Page } from 'playwright-core';

/** The cells of a table by row name and column name, as they stand on the screen. */
export type ShownTable = ReadonlyMap<string, ReadonlyMap<string, string>>;

/** Reads the table whose row names are in its row heads; of heads and names the first line counts. */
export async function readTable(page: Page, selector: string): Promise<ShownTable> {
  const rows = await page.locator(selector).evaluate((table) => {
    const first = (element: Element) => (element as HTMLElement).innerText.split('\n')[0]!.trim();
    const heads = [...table.querySelectorAll('thead th')].map(first);
    return [...table.querySelectorAll('tbody tr')].map((row) => {
      const cells = [...row.children];
      const texts = cells.map((cell) => (cell as HTMLElement).innerText.replace(/\s+/g, ' ').trim());
      return [first(cells[0]!), heads.map((head, index) => [head, texts[index] ?? ''] as const)] as const;
    });
  });
  return new Map(rows.map(([name, cells]) => [name, new Map(cells)]));
}

/** A description list as name and text. */
export async function readList(page: Page, selector: string): Promise<ReadonlyMap<string, string>> {
  const lines = await page.locator(`${selector} dl > div`).evaluateAll((divs) =>
    divs.map((div) => {
      const text = (part: string) =>
        div.querySelector<HTMLElement>(part)!.innerText.replace(/\s+/g, ' ').trim();
      return [text('dt'), text('dd')] as const;
    }),
  );
  return new Map(lines);
}

const SHOWN = /^\(?([+−]?\d+(?:\.\d+)?)(?:[^±\d]*± ?(\d+(?:\.\d+)?))?/;
const decimals = (text: string) => text.split('.')[1]?.length ?? 0;

/**
 * What is wrong with a shown quantity against the dataset's value and standard uncertainty; null where they agree to
 * the digits that are shown. A value without an uncertainty shows none; with one, both stop at its second digit
 * (JCGM 100, 7.2.6).
 */
export function disagreement(shown: string, value: number | null, u: number | null): string | null {
  const found = SHOWN.exec(shown);
  if (value === null) return /^—/.test(shown) ? null : `"${shown}" stands where the dataset has nothing`;
  if (found === null) return `"${shown}" stands for ${value}`;
  const [, text, uText] = found as unknown as [string, string, string | undefined];
  const close = (as: string, than: number) =>
    Math.abs(Number(as.replace('−', '-')) - than) <= 0.5 * 10 ** -decimals(as) * (1 + 1e-9);
  if (!close(text, value)) return `"${shown}" stands for ${value}`;
  if (u === null || u === 0) return uText === undefined ? null : `"${shown}" has an uncertainty from nowhere`;
  if (uText === undefined || !close(uText, u)) return `"${shown}" stands for an uncertainty of ${u}`;
  const digits = uText.replace('.', '').replace(/^0+/, '').length;
  return digits === 2 && decimals(text) === decimals(uText)
    ? null
    : `"${shown}" shows other digits than its uncertainty`;
}

/** A cell of the dataset as a number, times a factor for its unit; null where it is empty. */
export function cell(text: string | undefined, factor = 1): number | null {
  return text === undefined || text === '' ? null : Number(text) * factor;
}
