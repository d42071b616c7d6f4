/** Birth years and dates as lists have them. Leap years: ISO 8601-1:2019, 4.3.2 (Gregorian calendar). */
import { expect, test } from 'vitest';
import { readBirth } from '../../../core/lists/birth.ts';

const DATE = '2026-03-14';
function read(text: string) {
  const said: string[] = [];
  const birth = readBirth({ column: 'Born', text, unit: null }, DATE, (problem) => said.push(problem));
  return { birth, said };
}

test.each([
  ['2008', { year: 2008, isMinor: null }],
  ['2008-03-14', { year: 2008, isMinor: false }],
  ['2008-03-15', { year: 2008, isMinor: true }],
  ['14.3.2008', { year: 2008, isMinor: false }],
  // Day first or month first: 18 years on either way, or not on one of them.
  ['1/2/2008', { year: 2008, isMinor: false }],
  ['4/5/2008', { year: 2008, isMinor: true }],
  ['2/4/2008', { year: 2008, isMinor: null }],
  ['15/3/2008', { year: 2008, isMinor: true }],
  ['2008-03', { year: 2008, isMinor: null }],
  ['29.2.2008', { year: 2008, isMinor: false }],
  ['29.2.2000', { year: 2000, isMinor: false }],
])('%s', (text, birth) => expect(read(text)).toEqual({ birth, said: [] }));

test.each(['08', 'spring', '29.2.2007', '29.2.1900', '31.4.2000', '2008-13-01', '0.0.2008'])(
  '%s is no birth, and is told',
  (text) => {
    const { birth, said } = read(text);
    expect(birth).toBeNull();
    expect(said).toEqual([expect.stringContaining(`“Born” is “${text}”`)]);
  },
);

test.each(['1899', '2027', '2062-01-01'])('%s is a slip, and is told', (text) =>
  expect(read(text)).toEqual({ birth: null, said: [expect.stringMatching(/between 1900 and the year/)] }),
);

test('an empty cell says nothing', () => {
  expect(read('')).toEqual({ birth: null, said: [] });
  expect(readBirth(null, DATE, () => expect.unreachable())).toBeNull();
});
