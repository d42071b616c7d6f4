/** Numbers, sizes and durations in words. Prefixes: BIPM, SI Brochure, 9th ed. (2019), table 7; 1 min = 60 s, 1 h = 3600 s (table 8). */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  bytesText,
  counted,
  durationText,
  figures,
  figuresOr,
  minus,
  percent,
  seconds,
  signed,
} from '../../../core/base/words.ts';

test.each([
  [0, '0 B'],
  [999, '999 B'],
  [1000, '1 kB'],
  [1_440_000, '1.44 MB'],
  [999_999, '1 MB'],
  [4.7e9, '4.7 GB'],
  [2e15, '2000 TB'],
])('%d bytes are %s', (bytes, text) => expect(bytesText(bytes)).toBe(text));

test.each([
  [0, '0 s'],
  [59_499, '59 s'],
  [60_000, '1 min 00 s'],
  [185_000, '3 min 05 s'],
  [3_600_000, '1 h 00 min 00 s'],
  [3_725_000, '1 h 02 min 05 s'],
])('%d ms are %s', (ms, text) => expect(durationText(ms)).toBe(text));

test('a duration in words adds up to its seconds', () => {
  const part = (text: string, unit: string) => Number(new RegExp(`(\\d+) ${unit}`).exec(text)?.[1] ?? 0);
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 4e8 }), (ms) => {
      const text = durationText(ms);
      const total = 3600 * part(text, 'h') + 60 * part(text, 'min') + part(text, 's$');
      expect(total).toBe(Math.round(ms / 1000));
    }),
  );
});

test('numbers keep their figures, their sign and no trailing zeros', () => {
  expect([figures(0.012345), figures(1200), figures(2.5, 2)]).toEqual(['0.0123', '1200', '2.5']);
  expect([signed(0.314), signed(-0.016), signed(-0.001)]).toEqual(['+0.31', '−0.02', '0.00']);
  expect([percent(0.1234), seconds(12.34), minus('-3')]).toEqual(['12 %', '12.3 s', '−3']);
  expect([figuresOr(-1.5, 'none'), figuresOr(null, 'none')]).toEqual(['−1.5', 'none']);
});

test('one is one, and more are many', () => {
  expect([counted(1, 'stroke'), counted(0, 'stroke'), counted(3, 'day')]).toEqual([
    '1 stroke',
    '0 strokes',
    '3 days',
  ]);
});
