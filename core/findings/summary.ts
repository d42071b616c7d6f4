/** The summary of a comparison as Markdown and as a page that stands alone. */
import type { Results } from './compare.ts';
import type { Figure } from './figures/figures.ts';
import { escaped } from './figures/svg.ts';
import type { Plan } from './plan.ts';
import type { Said } from './words.ts';

const ADJUSTED = {
  holm: 'Holm',
  bh: 'Benjamini and Hochberg',
  none: 'nobody: they are as they are',
} as const;

/** What no number here shows. */
const LIMITS: readonly string[] = [
  'These numbers do not show a cause: who swims how was not drawn by lot.',
  'They are no diagnosis, of a swimmer or of anything else.',
  'A p value is not the chance that a finding is wrong, and a difference that is not shown is not shown to be none.',
  'Several trials of one swimmer are not independent; no test here takes them as such.',
  'Look at the points before the p: the tests on means ask for groups without far outliers, those on lines for a straight one.',
];

function leadOf(plan: Plan): string {
  const name = plan.name === '' ? 'The plan' : `The plan "${plan.name}"`;
  const stated = plan.stated === '' ? 'does not say when it was stated' : `was stated on ${plan.stated}`;
  return `${name} ${stated}. Adjusted p values after ${ADJUSTED[plan.adjust]}, for planned and exploratory questions apart; what is exploratory was asked after looking, or may have been.`;
}

/** summary.md. */
export function summaryMarkdown(
  plan: Plan,
  said: readonly Said[],
  figures: readonly Figure[],
  { refused }: Results,
): string {
  const parts = [`# Findings${plan.name === '' ? '' : `: ${plan.name}`}`, leadOf(plan)];
  said.forEach(({ question, heading, lead, sentences }, k) => {
    parts.push(`## ${heading}`, `Question ${question}. ${lead}`);
    parts.push(sentences.map(({ row, says }) => `- ${says} (tests.csv, row ${row})`).join('\n'));
    parts.push(`![${heading}](figures/${figures[k]!.name}.svg) ([data](figures/${figures[k]!.name}.csv))`);
  });
  if (refused.length > 0)
    parts.push('## Not answered', refused.map(({ reason }) => `- ${reason}`).join('\n'));
  parts.push('## What the numbers do not show', LIMITS.map((says) => `- ${says}`).join('\n'));
  return `${parts.join('\n\n')}\n`;
}

const STYLE = `body { font: 15px/1.5 'DejaVu Sans', Verdana, sans-serif; color: #1f2a37; max-width: 48rem; margin: 2rem auto; padding: 0 1rem; }
h1 { font-size: 1.5rem; } h2 { font-size: 1.15rem; margin-top: 2rem; } figure { margin: 1rem 0; } svg { max-width: 100%; height: auto; }
.row { color: #4a5563; font-size: 0.85rem; } .limits { border: 2px solid #1f2a37; padding: 0 1rem; }
@media print { h2, figure, .limits { break-inside: avoid; } }`;

/** summary.html: figures drawn in, nothing loaded from elsewhere. */
export function summaryHtml(
  plan: Plan,
  said: readonly Said[],
  figures: readonly Figure[],
  { refused }: Results,
): string {
  const list = (items: readonly string[]) => `<ul>${items.map((item) => `<li>${item}</li>`).join('')}</ul>`;
  const title = `Findings${plan.name === '' ? '' : `: ${plan.name}`}`;
  const sections = said.map(({ question, heading, lead, sentences }, k) => {
    const { name, svg } = figures[k]!;
    const drawn = svg.replaceAll(/(id="|url\(#)fill(\d)/g, `$1${name}-fill$2`);
    const items = sentences.map(
      ({ row, says }) =>
        `${escaped(says)} <span class="row">(<a href="tests.csv">tests.csv</a>, row ${row})</span>`,
    );
    return `<section><h2>${escaped(heading)}</h2><p>Question ${escaped(question)}. ${escaped(lead)}</p>${list(items)}<figure>${drawn}<figcaption class="row"><a href="figures/${name}.svg">figure</a>, <a href="figures/${name}.csv">its data</a></figcaption></figure></section>`;
  });
  const open =
    refused.length === 0
      ? ''
      : `<section><h2>Not answered</h2>${list(refused.map(({ reason }) => escaped(reason)))}</section>`;
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>${escaped(title)}</title>
<style>${STYLE}</style>
</head>
<body>
<main>
<h1>${escaped(title)}</h1>
<p>${escaped(leadOf(plan))}</p>
${sections.join('\n')}
${open}
<section class="limits"><h2>What the numbers do not show</h2>${list(LIMITS.map(escaped))}</section>
</main>
</body>
</html>
`;
}
