/**
 * The reader of plain rows against papaparse and ECMAScript's Number(): whatever it reads it reads so, to the last bit,
 * and the first row that it does not read is the one it says.
 */
import fc from 'fast-check';
import Papa from 'papaparse';
import { expect, test } from 'vitest';
import { LEFT, PASSED, RIGHT, RowLists, TIME } from '../../../main/files/plainrows.ts';

const digits = fc.string({ unit: fc.constantFrom(...'0123456789'), maxLength: 12 });
const number = fc
  .tuple(fc.constantFrom('', '', '', '-'), digits, fc.constantFrom('', '.', ','), digits)
  .map((p) => p.join(''));
const cell = fc.oneof(
  { weight: 12, arbitrary: fc.integer({ min: -9999, max: 99_999 }).map(String) },
  { weight: 6, arbitrary: number },
  {
    weight: 1,
    arbitrary: fc.constantFrom(
      '',
      '-',
      'NaN',
      ' 1',
      '+1',
      '1e3',
      '"2"',
      '1.2.3',
      '1\r',
      'x',
      '0x1',
      '-0',
      '1"',
    ),
  },
);
const LAYOUTS = [[TIME, LEFT, RIGHT], [PASSED, LEFT, TIME], [LEFT, PASSED, RIGHT], [RIGHT]];

test('reads plain rows as papaparse and Number() do, and stops at the first that is not (property)', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...LAYOUTS),
      fc.constantFrom(',', ';', '\t'),
      fc.constantFrom('\n', '\r\n'),
      fc.integer({ min: 0, max: 2 }),
      fc.array(fc.array(cell, { minLength: 1, maxLength: 6 }), { maxLength: 12 }),
      fc.constantFrom(1, 1000),
      (holds, delimiter, newline, further, rows, perSecond) => {
        const text = rows.map((cells) => cells.join(delimiter) + newline).join('');
        const lists = new RowLists();
        const layout = {
          separator: delimiter.charCodeAt(0),
          width: holds.length + further,
          holds: Uint8Array.from(holds),
          perSecond,
        };
        const bytes = Buffer.from(text);
        const stop = lists.readPlain(bytes, 0, bytes.length, layout, 7, 1e6);
        // Whole rows, as many as lines were read.
        const read = text.slice(0, stop);
        expect(read.split('\n')).toHaveLength(lists.length + 1);
        expect(read === '' || read.endsWith('\n')).toBe(true);
        const { data } = Papa.parse<string[]>(read.replace(/\r?\n$/, ''), {
          delimiter,
          newline: newline as '\n',
          quoteChar: '',
        });
        for (let k = 0; k < lists.length; k++) {
          expect(data[k]!.length).toBeGreaterThanOrEqual(holds.length);
          expect(data[k]!.length).toBeLessThanOrEqual(Math.max(holds.length, layout.width));
          const said = (what: number) => {
            const at = holds.indexOf(what);
            return at < 0 ? NaN : Number(data[k]![at]!.replace(',', '.'));
          };
          expect([lists.left[k], lists.right[k]]).toEqual([said(LEFT), said(RIGHT)]);
          expect(lists.times[k]).toEqual(said(TIME) / perSecond);
          expect(lists.lines[k]).toBe(7 + k);
        }
        // Where it stops, the row is one that the general reader is for.
        if (stop < text.length) {
          const row = rows[lists.length]!;
          const isPlain = holds.every((what, at) =>
            what === PASSED
              ? row[at] !== undefined && !/["\r\n]/.test(row[at])
              : /^-?(?:\d{1,9}(?:[.,]\d{0,6})?|[.,]\d{1,9})$/.test(row[at] ?? ''),
          );
          const cells = row.join(delimiter).split(delimiter);
          const fits =
            cells.length <= layout.width && !row.join('').includes('"') && !row.join('').includes('\r');
          const clash = delimiter === ',' && row.join('').includes(',');
          expect(isPlain && fits && !clash, JSON.stringify(row)).toBe(false);
        }
      },
    ),
    { numRuns: 2000 },
  );
});

test('takes no more rows than are wanted', () => {
  const bytes = Buffer.from('1\n2\n3\n');
  const lists = new RowLists();
  const layout = { separator: 44, width: 1, holds: Uint8Array.of(LEFT), perSecond: 1 };
  expect(lists.readPlain(bytes, 0, bytes.length, layout, 1, 2)).toBe(4);
  expect([...lists.left.subarray(0, 2)]).toEqual([1, 2]);
});
