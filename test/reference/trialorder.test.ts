/** Williams designs against printed ones. */
import { describe, expect, test } from 'vitest';
import { williamsSquare } from '../../core/protocol/order.ts';

const printed = (text: string) =>
  text
    .trim()
    .split('\n')
    .map((row) => row.trim().split(/\s+/).map(Number));

const LETTERS = 'ABCDEF';

describe('Williams 1949, Aust J Sci Res A 2:149–168, as printed elsewhere', () => {
  test('4 treatments: ABDC, BCAD, CDBA, DACB (opened in a public forum of the trade)', () =>
    expect(williamsSquare(4).map((row) => row.map((k) => LETTERS[k]).join(''))).toEqual([
      'ABDC',
      'BCAD',
      'CDBA',
      'DACB',
    ]));

  test('2 treatments: AB, BA, the two-period crossover', () =>
    expect(williamsSquare(2)).toEqual([
      [0, 1],
      [1, 0],
    ]));

  // Output of williams(3) and williams(10) on the manual page of the R package crossdes (opened).
  test('3 treatments', () =>
    expect(williamsSquare(3).map((row) => row.map((k) => k + 1))).toEqual(
      printed(`1 2 3
               2 3 1
               3 1 2
               3 2 1
               1 3 2
               2 1 3`),
    ));

  test('10 treatments', () =>
    expect(
      williamsSquare(10)
        .slice(0, 6)
        .map((row) => row.map((k) => k + 1)),
    ).toEqual(
      printed(`1 2 10 3 9 4 8 5 7 6
               2 3 1 4 10 5 9 6 8 7
               3 4 2 5 1 6 10 7 9 8
               4 5 3 6 2 7 1 8 10 9
               5 6 4 7 3 8 2 9 1 10
               6 7 5 8 4 9 3 10 2 1`),
    ));
});
