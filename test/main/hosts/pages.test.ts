/** The pages to print carry one style sheet each; the policy that goes with every answer lets those through, no other. */
import { createHash } from 'node:crypto';
import { expect, it } from 'vitest';
import { deckSheetsHtml } from '../../../core/pages/decksheets.ts';
import { SAFE_HEADERS } from '../../../main/lab/answer/safe.ts';
import { PROTOCOL, readyDeck } from '../../core/deck/build.ts';

it('the style sheet in a printed page is the one that the policy names', () => {
  const page = deckSheetsHtml({
    day: 'd1',
    protocol: { protocol: 'sprint', version: 1, content: PROTOCOL },
    ...readyDeck(),
    printedAt: '2026-03-14 09:00:00',
  });
  const [, style] = /<style>([\s\S]*?)<\/style>/.exec(page)!;
  const hash = createHash('sha256').update(style!).digest('base64');
  expect(SAFE_HEADERS['content-security-policy']).toContain(`'sha256-${hash}'`);
  expect(page.match(/<style/g)).toHaveLength(1);
});
