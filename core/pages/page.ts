/** Pages of a testing day that are printed or kept: HTML that stands alone, A4, legible in black and white. */
import { CERTIFICATE_STYLE } from './certificate.ts';
import { escapeHtml } from './html.ts';

/** The one style sheet of these pages. Hosts allow it by its hash, so it must be in the page letter by letter. */
export const PAGE_STYLE = `${CERTIFICATE_STYLE}
@media screen { body { max-width: 60rem; } }
h3 { font-size: 14px; margin: 16px 0 4px; }
ul, ol { margin: 4px 0; padding-left: 20px; }
li { margin: 2px 0; }
.cautions { border: 2px solid #1f2a37; padding: 4px 12px; }
.aside td:not(:last-child) { text-decoration: line-through; }
.fill table { table-layout: auto; }
.fill th, .fill td { border: 1px solid #1f2a37; padding: 2px 4px; height: 30px; vertical-align: middle; }
.fill th { font-size: 11px; }
.board td:nth-child(-n+6), .board td:nth-child(13) { white-space: nowrap; }
.board th:nth-child(12) { width: 18%; }
@page wide { size: A4 landscape; margin: 12mm; }
@media print { .wide { page: wide; } .sheet { break-before: page; } h3 { break-after: avoid; } }
`;

export interface Page {
  readonly title: string;
  /** Said below the title. */
  readonly lead: string;
  /** Sections as HTML. */
  readonly parts: readonly string[];
  /** True for pages printed across. */
  readonly isWide: boolean;
}

/** A page as HTML; nothing in it is loaded from elsewhere. */
export function pageHtml({ title, lead, parts, isWide }: Page): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>${escapeHtml(title)}</title>
<style>${PAGE_STYLE}</style>
</head>
<body>
<main${isWide ? ' class="wide"' : ''}>
<h1>${escapeHtml(title)}</h1>
<p class="note">${escapeHtml(lead)}</p>
${parts.join('\n')}
</main>
</body>
</html>
`;
}

/** A section; `body` is HTML, `own` puts it on a sheet of its own. */
export function section(title: string, body: string, own = false): string {
  return `<section${own ? ' class="sheet"' : ''}><h2>${escapeHtml(title)}</h2>${body}</section>`;
}

/** A paragraph of HTML from a plain text. */
export function paragraph(text: string): string {
  return `<p>${escapeHtml(text)}</p>`;
}

/** A list of HTML from plain texts. */
export function list(items: readonly string[], kind: 'ul' | 'ol' = 'ul'): string {
  return `<${kind}>${items.map((item) => `<li>${escapeHtml(item)}</li>`).join('')}</${kind}>`;
}
