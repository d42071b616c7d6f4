/** The byte reader of numbers against ECMAScript's Number(), which rounds correctly (ECMA-262, StringToNumber). */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { MISSING, NumberList, readCell, UNREADABLE } from '../../../main/files/numbers.ts';

function read(text: string, before = '', after = ''): number {
  const bytes = new TextEncoder().encode(before + text + after);
  const start = new TextEncoder().encode(before).length;
  return readCell(bytes, start, start + new TextEncoder().encode(text).length);
}

const digits = (most: number) =>
  fc.string({ unit: fc.constantFrom(...'0123456789'), minLength: 1, maxLength: most });
const decimal = fc
  .record({
    sign: fc.constantFrom('', '-', '+'),
    whole: fc.oneof(fc.constant(''), digits(3), digits(22)),
    point: fc.constantFrom('', '.', ','),
    part: fc.oneof(fc.constant(''), digits(3), digits(25)),
    exponent: fc.oneof(
      { weight: 3, arbitrary: fc.constant('') },
      fc
        .tuple(fc.constantFrom('e', 'E'), fc.constantFrom('', '+', '-'), fc.integer({ min: 0, max: 330 }))
        .map((e) => e.join('')),
    ),
  })
  .map(({ sign, whole, point, part, exponent }) => ({
    text: sign + whole + point + (point === '' ? '' : part) + exponent,
    digits: whole + (point === '' ? '' : part),
  }))
  .filter(({ digits: some }) => some !== '');

describe('the number reader', () => {
  it('reads any decimal number as Number() does, to the last bit', () => {
    fc.assert(
      fc.property(decimal, fc.constantFrom('', ' ', '\t ', '  '), ({ text }, pad) => {
        const expected = Number(text.replace(',', '.'));
        const value = read(pad + text + pad, '12;', ';9');
        if (Number.isFinite(expected)) expect(Object.is(value, expected), `${text}: ${value}`).toBe(true);
        else expect(value).toBe(UNREADABLE);
      }),
      { numRuns: 20_000 },
    );
  });

  it('reads back any double as printed', () => {
    fc.assert(
      fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
        expect(read(String(value))).toBe(value === 0 ? 0 : value);
        expect(read(String(value).replace('.', ','))).toBe(value === 0 ? 0 : value);
      }),
      { numRuns: 5000 },
    );
  });

  it('reads numbers on both sides of the fast path alike', () => {
    for (const text of [
      '123456789012345',
      '1234567890123456',
      '0.12345678901234',
      '0.123456789012345',
      '000000000000000001.5',
      '9007199254740993',
      '0.1',
      '8.41',
      '1.',
      '.5',
      '-.5',
    ])
      expect(read(text), text).toBe(Number(text));
  });

  it.each(['', ' ', '-', 'NaN', 'nan', 'NAN', ' - '])('takes %j for a missing sample', (text) => {
    expect(read(text)).toBe(MISSING);
  });

  it.each([
    '1.2.3',
    '1,2,3',
    '1.234,5',
    '1 2',
    '0x10',
    '--1',
    '+',
    '.',
    ',',
    'e5',
    '1e',
    '1e+',
    'Infinity',
    '1_000',
    '12a',
    '１',
    '"1"',
    '\u00a01',
    '1e999',
  ])('does not read %j', (text) => {
    expect(read(text)).toBe(UNREADABLE);
  });

  it('never reads what Number() calls no number', () => {
    fc.assert(
      fc.property(fc.string({ unit: fc.constantFrom(...'0123456789.,+-eE xN') }), (text) => {
        const value = read(text);
        if (Number.isFinite(value)) expect(value).toBe(Number(text.trim().replace(',', '.')));
      }),
      { numRuns: 20_000 },
    );
  });

  it('keeps a growing list whole', () => {
    const list = new NumberList();
    for (let i = 0; i < 10_000; i++) list.push(i / 3);
    expect(list.length).toBe(10_000);
    expect(list.take()).toEqual(Float64Array.from({ length: 10_000 }, (_, i) => i / 3));
  });
});
