/** Deck sheets: what a lab writes on paper where the computer fails. Common practice, no source. */
import { expect, test } from 'vitest';
import { deckSheetsHtml, type DeckSheetSource } from '../../../core/pages/decksheets.ts';
import { PAGE_STYLE } from '../../../core/pages/page.ts';
import { after, newDeck, PROTOCOL, readyDeck, swimmer } from '../deck/build.ts';

function sheets(deck: Pick<DeckSheetSource, 'plan' | 'board'>, more: Partial<DeckSheetSource> = {}): string {
  return deckSheetsHtml({
    day: 'harbour-1',
    protocol: { protocol: 'sprint', version: 3, content: PROTOCOL },
    ...deck,
    printedAt: '2026-03-14 08:00:00',
    ...more,
  });
}

function part(html: string, title: string): string {
  return html.split(`<h2>${title}`)[1]!.split('</section>')[0]!;
}

test('the order board has a line for every run that waits, and spare ones to write on', () => {
  const board = part(sheets(readyDeck()), 'Order board');
  for (const trial of ['S1-1', 'S2-1', 'S3-1', 'S1-2', 'S2-2', 'S3-2'])
    expect(board).toContain(`<td>${trial}</td>`);
  for (const head of [
    'Trial',
    'Swimmer',
    'Condition',
    'Sensors',
    'Start, clock',
    'Section start, s',
    'Section end, s',
    'Zero before, L / R',
    'Zero after, L / R',
    'Remarks',
    'Verdict (circle)',
  ])
    expect(board).toContain(`<th scope="col">${head}</th>`);
  expect(board.match(/good \/ in doubt \/ again/g)).toHaveLength(6 + 8);
  expect(board).toContain('L K-1 R K-2');
});

test('before there is a board there are lines enough', () => {
  const board = part(sheets(newDeck()), 'Order board');
  expect(board.match(/good \/ in doubt \/ again/g)).toHaveLength(24);
});

test('what was swum already is not on the sheet, and counted', () => {
  const deck = after(readyDeck(), [
    { act: 'trial.begin', trial: 'S1-1' },
    { act: 'trial.end', trial: 'S1-1' },
  ]);
  const board = part(sheets(deck), 'Order board');
  expect(board).not.toContain('<td>S1-1</td>');
  expect(board).toContain('1 trial of the board swum or skipped before this was printed');
});

test('a swimmer who withdrew is not on it; one who must not be filmed is marked in words', () => {
  const consents = { measuring: 'given', filming: 'withheld', sharing: 'withheld' } as const;
  const deck = after(readyDeck(), [
    { act: 'swimmer.withdraw', participant: 'S1' },
    { act: 'swimmer.change', participant: 'S2', swimmer: swimmer('S2', { consents }) },
  ]);
  const html = sheets(deck);
  expect(html).not.toMatch(/\bS1\b/);
  expect(html.match(/NO FILM/g)).toHaveLength(2);
});

test('checklists to initial, cautions, names of files with an example, and how to bring it in', () => {
  const html = sheets(readyDeck());
  expect(part(html, 'Before the first trial')).toContain('<td>Lifeguard is here</td><td></td><td></td>');
  expect(part(html, 'At the end of the day')).toContain('<td>Sensors rinsed</td><td></td><td></td>');
  expect(part(html, 'Cautions')).toContain('not a diagnosis');
  expect(part(html, 'Cautions')).not.toContain('Dive only');
  const dive = { protocol: 'd', version: 1, content: { ...PROTOCOL, start: 'dive' as const } };
  expect(part(sheets(readyDeck(), { protocol: dive }), 'Cautions')).toContain('Dive only');
  expect(part(html, 'What to write')).toContain('<td>S1-1-A</td>');
  expect(part(html, 'How to bring')).toContain('trial, section_start_s, section_end_s');
  expect(part(html, 'The swim')).toContain('Local emergency number');
});

test('it stands alone and prints on A4', () => {
  const deck = readyDeck();
  const setup = { ...deck.plan.setup, venue: '<script>x</script>' };
  const html = sheets({ ...deck, plan: { ...deck.plan, setup } });
  expect(html).not.toMatch(/<script|<link|<img|\bsrc=|\bhref=|@import|url\(/i);
  expect(html).toContain(`<style>${PAGE_STYLE}</style>`);
  expect(PAGE_STYLE).toContain('size: A4 landscape');
});
