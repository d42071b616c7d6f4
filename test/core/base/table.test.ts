/** Cells and rows as a lab writes them (formats.md section 1; RFC 4180 for what a row is). */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  cellOf,
  code,
  column,
  isCode,
  isMissing,
  number,
  oneOf,
  optional,
  optionalNumber,
  parseNumber,
  readTable,
  text,
  withDefault,
} from '../../../core/base/table.ts';
import { inOneGo } from '../../../core/base/slices.ts';
import { textTable } from '../build.ts';

describe('codes', () => {
  test.each(['a', 'A-1', '2026-03-14-am', 'x_y.z', 'a'.repeat(64), '.', '-'])('%s is one', (value) =>
    expect(isCode(value)).toBe(true),
  );
  test.each(['', ' ', 'a b', 'ä', 'a/b', 'a'.repeat(65), 'a\n', '..\\x', 'é'])('%j is none', (value) =>
    expect(isCode(value)).toBe(false),
  );
});

describe('numbers', () => {
  test.each([
    ['12', 12],
    ['-0.5', -0.5],
    ['+3', 3],
    ['1e-3', 0.001],
    ['1.5E+2', 150],
    ['.5', 0.5],
    ['5.', 5],
    ['1,5', 1.5],
    ['-,25', -0.25],
  ])('%s', (written, value) => expect(parseNumber(written)).toBe(value));

  test.each([
    '',
    'x',
    '1 000',
    '1.000,5',
    '1,000.5',
    '0x10',
    'NaN',
    'Infinity',
    '1e999',
    '--1',
    '1e',
    '.',
    '1_0',
    '١',
  ])('%j is none', (written) => expect(parseNumber(written)).toBeNull());

  test('every double printed reads back', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
        expect(parseNumber(String(value))! + 0).toBe(value + 0);
        expect(parseNumber(String(value).replace('.', ','))! + 0).toBe(value + 0);
      }),
      { numRuns: 300 },
    );
  });
});

test('a missing sample is an empty cell, NaN or -', () => {
  expect(['', '-', 'NaN', 'nan'].every(isMissing)).toBe(true);
  expect(['0', 'x', '--', ' '].some(isMissing)).toBe(false);
});

describe('cell readers', () => {
  test('a code says which characters it takes', () => {
    expect(code('a b', true)).toEqual({ ok: false, error: expect.stringMatching(/is "a b".*A–Z/) });
    expect(code('', true)).toEqual({ ok: false, error: 'is empty; it takes a code' });
  });

  test('a number keeps to its bounds and says them', () => {
    expect(number({ above: 0 })('0', true)).toEqual({ ok: false, error: 'is 0; it must be above 0' });
    expect(number({ atLeast: 0 })('0', true)).toEqual({ ok: true, value: 0 });
    expect(number({ atLeast: 1 })('0,5', true)).toEqual({
      ok: false,
      error: 'is 0,5; it must be at least 1',
    });
    expect(number({ whole: true })('1.5', true)).toEqual({
      ok: false,
      error: 'is 1.5; it takes a whole number',
    });
    expect(number({ whole: true })('2.0', true)).toEqual({ ok: true, value: 2 });
    expect(number()('', true)).toMatchObject({ ok: false });
    expect(number()('12 kPa', true)).toMatchObject({ ok: false });
  });

  test('blank is null, a default, or refused, as the column says', () => {
    expect(optional(oneOf('a'))('', true)).toEqual({ ok: true, value: null });
    expect(optionalNumber()('-', true)).toEqual({ ok: true, value: null });
    expect(optionalNumber()('NaN', true)).toEqual({ ok: true, value: null });
    expect(optionalNumber()('x', true)).toMatchObject({ ok: false });
    expect(withDefault(oneOf('a', 'b'), 'b')('', true)).toEqual({ ok: true, value: 'b' });
    expect(oneOf('a', 'b')('c', true)).toEqual({ ok: false, error: 'is "c"; it takes one of a, b' });
    expect(text(' as it stands ', true)).toEqual({ ok: true, value: ' as it stands ' });
  });

  test('a decimal comma is read only where the separator is not a comma', () => {
    expect(number()('0,5', true)).toEqual({ ok: true, value: 0.5 });
    expect(number()('0,5', false)).toMatchObject({ ok: false });
  });
});

describe('tables', () => {
  const columns = { name: column(code), size: column(number()), note: column(text, false) };
  const read = (...given: Parameters<typeof readTable<typeof columns>>) => inOneGo(readTable(...given));

  test('a row that breaks a rule is refused alone, with its line and field', () => {
    const found = read(textTable('t.csv', 'name,size', 'a,1', 'b,x', 'c,3'), columns);
    expect(found.rows.map(({ line, value }) => [line, value.name, value.size])).toEqual([
      [2, 'a', 1],
      [4, 'c', 3],
    ]);
    expect(found.refused).toEqual([
      { file: 't.csv', line: 3, field: 'size', reason: 'size is "x"; it takes a number such as 12.5.' },
    ]);
  });

  test('a file without a required column is refused whole, and says which', () => {
    const found = read(textTable('t.csv', 'name,length', 'a,1'), columns);
    expect(found.rows).toEqual([]);
    expect(found.refused).toMatchObject([{ file: 't.csv', line: null, field: 'size' }]);
    expect(found.refused[0]!.reason).toContain('size');
  });

  test('an optional column may be absent, short rows end in blanks, spaces around cells do not count', () => {
    const found = read(textTable('t.csv', 'name,size,note', ' a , 1 ', 'b,2,n'), columns);
    expect(found.rows.map(({ value }) => value)).toEqual([
      { name: 'a', size: 1, note: '' },
      { name: 'b', size: 2, note: 'n' },
    ]);
    expect(read(textTable('t.csv', 'size,name', '1,a'), columns).rows[0]!.value.note).toBe('');
  });

  test('a row with more cells than the header is refused; blank cells at its end are nothing', () => {
    const found = read(textTable('t.csv', 'name,size', 'a,1,5', 'b,2,,'), columns);
    expect(found.rows.map(({ value }) => value.name)).toEqual(['b']);
    expect(found.refused).toMatchObject([{ line: 2, field: null }]);
  });

  test('rows left out by `skip` leave no word', () => {
    const table = textTable('t.csv', 'name,size', 'a,x', 'b,2');
    const found = read(table, columns, (row) => cellOf(table, row, 'name') === 'a');
    expect(found.refused).toEqual([]);
    expect(found.rows).toHaveLength(1);
  });
});
