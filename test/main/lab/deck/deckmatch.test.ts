/** A person's tables as they come: separators, decimal comma, byte order mark, quotes (RFC 4180). */
import { expect, test } from 'vitest';
import { rosterMatch, sectionMatch } from '../../../../main/lab/deck/deckmatch.ts';
import { after, newDeck, PROTOCOL, readyDeck, swimmer } from '../../../core/deck/build.ts';
import { faultOf, valueOf } from '../support.ts';

const EMPTY = newDeck();
const roster = (text: string, matching: Record<string, string> | null = null) =>
  valueOf(rosterMatch(EMPTY, text, matching));

test.each([
  ['semicolons and decimal commas', 'Code;Größe (m);Gewicht\r\nP01;1,78;70,5\r\n'],
  ['commas and decimal points', 'code,height (m),weight\nP01,1.78,70.5\n'],
  ['tabs', 'code\theight (m)\tweight\nP01\t1,78\t70,5'],
  ['a byte order mark and comments', '\uFEFF# from the office\n\ncode,height (m),weight\nP01,1.78,70.5\n'],
  ['commas inside headings', 'code;height, m;body mass, kg\nP01;1,78;70,5'],
  ['quotes', '"code","height (m)","weight"\n"P01","1.78","70.5"\n'],
])('a list of swimmers with %s', (_what, text) => {
  const { rows } = roster(text);
  expect(rows).toHaveLength(1);
  expect(rows[0]!.problems).toEqual([]);
  expect(rows[0]!.value).toMatchObject({ participant: 'P01', heightCm: 178, massKg: 70.5 });
});

test('lines are those of the file, also below comments and a quote that is never closed', () => {
  const { rows } = roster('# list\ncode,note\nP01,"two\nlines"\n\nP02,"open\nP03,x\n');
  expect(rows.map(({ line, value }) => [line, value?.participant ?? null])).toEqual([
    [3, 'P01'],
    [6, null],
    [7, 'P03'],
  ]);
  expect(rows[0]!.value?.note).toBe('two\nlines');
});

test('a person’s matching is followed, and swimmers of the day are known', () => {
  const text = 'kennung,anders\nP01,P02\n';
  expect(roster(text, { participant: 'anders' }).rows[0]!.value?.participant).toBe('P02');
  const deck = after(EMPTY, [{ act: 'swimmers.add', swimmers: [swimmer('P02')] }]);
  const { rows } = valueOf(rosterMatch(deck, text, { participant: 'anders' }));
  expect(rows[0]!.problems[0]).toContain('among the swimmers of the day already');
});

test.each([
  ['nothing', ''],
  ['comments alone', '# a\n# b\n'],
  ['a header alone', 'code,height\n'],
  ['another encoding', 'code,Gr\uFFFD\uFFFDe\nP01,178\n'],
  ['no text', 'PK\u0003\u0004\0\0'],
])('a table of %s is refused with a sentence', (_what, text) => {
  expect(faultOf(rosterMatch(EMPTY, text, null))).toBe('bad_input');
});

test('a table that is not a roster comes back with its columns, to be matched by hand', () => {
  const { columns, matching, rows } = roster('x;y\n1;2\n');
  expect(columns).toEqual(['x', 'y']);
  expect(matching).toEqual({});
  expect(rows[0]!.problems[0]).toContain('No column gives the swimmer’s code');
});

test('section times take the protocol’s timing, and know what was swum and who withdrew', () => {
  const deck = after(readyDeck(), [
    { act: 'trial.begin', trial: 'S1-1' },
    { act: 'trial.end', trial: 'S1-1' },
    { act: 'trial.begin', trial: 'S2-1' },
    { act: 'trial.end', trial: 'S2-1' },
    { act: 'swimmer.withdraw', participant: 'S2' },
  ]);
  const timing = { ...PROTOCOL.timing, method: 'stopwatch' as const, stopwatchUS: 0.12 };
  const state = { ...deck, protocol: { content: { ...PROTOCOL, timing } } };
  const text = 'Lauf;Ende;Dauer\nS1-1;9,75;6,5\nS2-1;9;6\nS3-1;9;6\n';
  const { rows } = valueOf(sectionMatch(state, new Map(), text, null));
  expect(rows[0]!.value).toEqual({
    trial: 'S1-1',
    section: { startS: 3.25, endS: 9.75, method: 'stopwatch', uS: 0.12 },
  });
  expect(rows[1]!.problems[0]).toContain('no trial on the board of a swimmer who consents');
  expect(rows[2]!.problems[0]).toContain('has not been swum yet');
  const there = new Map([['S1-1', { startS: 1, endS: 2, method: null, uS: null }]]);
  expect(valueOf(sectionMatch(state, there, text, null)).rows[0]!.problems[0]).toContain('take their place');
});
