/** How a certificate writes text, tables and quantities. */
import type { Estimate } from '../sensor/metrology.ts';
import { withTurnsShown } from '../base/plaintext.ts';
import { minus, figures } from '../base/words.ts';

/** A cell: text, a number set to the right, or a hash. */
export type Cell = string | { readonly number: string } | { readonly hash: string };

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** A text as HTML shows it, in an element or in a quoted attribute. */
export function escapeHtml(text: string): string {
  return withTurnsShown(text).replace(/[&<>"']/g, (character) => ENTITIES[character]!);
}

/** A table; without a head its first column names what stands beside it. `aside` marks rows that take no part. */
export function table(
  head: readonly Cell[] | null,
  rows: readonly (readonly Cell[])[],
  aside: (index: number) => boolean = () => false,
): string {
  const top =
    head === null ? '' : `<thead><tr>${head.map((cell) => written(cell, 'th', 'col')).join('')}</tr></thead>`;
  const body = rows.map((cells, index) => {
    const shown = cells.map((cell, at) =>
      head === null && at === 0 ? written(cell, 'th', 'row') : written(cell, 'td', null),
    );
    return `<tr${aside(index) ? ' class="aside"' : ''}>${shown.join('')}</tr>`;
  });
  return `<table>${top}<tbody>${body.join('')}</tbody></table>`;
}

function written(cell: Cell, tag: 'th' | 'td', scope: 'col' | 'row' | null): string {
  const about = scope === null ? '' : ` scope="${scope}"`;
  if (typeof cell === 'string') return `<${tag}${about}>${escapeHtml(cell)}</${tag}>`;
  return 'number' in cell
    ? `<${tag}${about} class="number">${escapeHtml(cell.number)}</${tag}>`
    : `<${tag}${about} class="hash">${escapeHtml(cell.hash)}</${tag}>`;
}

/** A value with its expanded uncertainty: that to two figures, the value to the same digit (JCGM 100 7.2.6). */
export function estimateText({ value, expanded, coverageFactor }: Estimate, unit: string): string {
  if (expanded === null || coverageFactor === null || !(expanded > 0))
    return `${minus(figures(value, 6))} ${unit}, uncertainty not determined`;
  const places = placesOf(expanded);
  return `(${minus(toPlaces(value, places))} ± ${toPlaces(expanded, places)}) ${unit}, k = ${coverageFactor.toFixed(2)}`;
}

/** Decimal places of the second significant figure; negative for tens and more. */
function placesOf(expanded: number): number {
  const exponent = Number(expanded.toExponential(1).split('e')[1]);
  return 1 - exponent;
}

function toPlaces(value: number, places: number): string {
  if (places >= 0) return value.toFixed(Math.min(places, 20));
  const step = 10 ** -places;
  return String(Math.round(value / step) * step);
}
