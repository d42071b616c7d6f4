/**
 * Numbers as text. SI brochure, 9th edition: 5.4.3 (space before the unit), 5.4.4 (decimal marker, zero before it);
 * JCGM 100:2008, 7.2.6 (two significant digits of an uncertainty). Clause numbers from memory.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bytesText,
  counted,
  EMPTY,
  formatDate,
  formatInstant,
  formatMeasured,
  formatNumber,
  formatSigned,
  formatValue,
  toMs,
} from '../../renderer/format.ts';

const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const number = fc.double({ min: -1e6, max: 1e6, noNaN: true });

describe('a value with its uncertainty', () => {
  it.each([
    // JCGM 100, 7.2.2: m_S = 100.021 47 g with u = 0.35 mg, "100,02147(35) g".
    [{ value: 100.02147, u: 0.00035 }, 'N', '100.02147 ± 0.00035 N'],
    // JCGM 100, 7.2.6: y = 10.057 62 Ω with u = 27 mΩ is reported as 10.058 Ω.
    [{ value: 10.05762, u: 0.027 }, 'm', '10.058 ± 0.027 m'],
    [{ value: 1.8234, u: 0.0314 }, 'm/s', '1.823 ± 0.031 m/s'],
    [{ value: -8.957, u: 0.401 }, '%', '(−8.96 ± 0.40) %'],
    [{ value: 1234.5, u: 123 }, 'N', '1230 ± 120 N'],
    [{ value: 0.5, u: 0.0996 }, 's', '0.50 ± 0.10 s'],
    [{ value: 1.8234, u: null }, 'm/s', '1.82 m/s'],
    [{ value: 0, u: 0 }, 'ms', '0 ms'],
  ] as const)('%o %s', (measured, unit, text) => {
    expect(plain(formatMeasured(measured, unit))).toBe(text);
  });

  it('is a dash where there is none, never 0', () => {
    expect(formatMeasured(null, 'N')).toBe(EMPTY);
    expect(formatValue(null, 'N')).toBe(EMPTY);
  });

  it('is never further from the number than half the last digit of its uncertainty', () => {
    const uncertainty = fc.double({ min: 1e-6, max: 1e4, noNaN: true });
    fc.assert(
      fc.property(number, uncertainty, (value, u) => {
        const [shown, shownU] = plain(formatMeasured({ value, u }, 'N')).replaceAll('−', '-').split(' ± ');
        const lastDigit = 10 ** (Math.floor(Math.log10(u * (1 + 1e-9))) - 1);
        expect(Math.abs(Number(shown) - value)).toBeLessThanOrEqual(lastDigit * 5.1);
        expect(Math.abs(parseFloat(shownU!) - u)).toBeLessThanOrEqual(lastDigit * 0.51);
      }),
    );
  });
});

describe('a number', () => {
  it('has the minus sign, no grouping and no negative zero', () => {
    expect(formatNumber(-1234.5, 1)).toBe('\u22121234.5');
    expect(formatNumber(-0.001, 2)).toBe('0.00');
    expect(formatSigned(0.313, 2)).toBe('+0.31');
    expect(formatSigned(0.001, 2)).toBe('0.00');
  });

  it('reads back as the number rounded', () => {
    fc.assert(
      fc.property(number, fc.integer({ min: 0, max: 6 }), (value, decimals) => {
        const text = formatNumber(value, decimals);
        expect(text).toMatch(/^\u2212?\d+(\.\d+)?$/);
        expect(Math.abs(Number(text.replace('\u2212', '-')) - value)).toBeLessThanOrEqual(
          0.5000001 * 10 ** -decimals,
        );
      }),
    );
  });

  it('stands before its unit with a space that does not break', () => {
    expect(formatValue(12.345, 'N')).toBe('12.3\u00a0N');
    expect(counted(1, 'trial')).toBe('1\u00a0trial');
    expect(counted(0, 'trial')).toBe('0\u00a0trials');
  });

  it('a size has one form everywhere: decimal prefixes, three figures (SI brochure, 3.1)', () => {
    expect([0, 999, 1000, 5123, 1_499_999, 734_000_000].map((bytes) => bytesText(bytes))).toEqual(
      ['0 B', '999 B', '1 kB', '5.12 kB', '1.5 MB', '734 MB'].map((text) => text.replace(' ', '\u00a0')),
    );
  });

  it('goes from seconds to milliseconds with its uncertainty', () => {
    expect(toMs({ value: 0.25, u: 0.005 })).toEqual({ value: 250, u: 5 });
    expect(toMs({ value: 0.25, u: null })).toEqual({ value: 250, u: null });
    expect(toMs(null)).toBeNull();
  });
});

describe('dates', () => {
  it('are written with the month as a word, and shown as they stand where they are none', () => {
    expect(formatDate('2026-03-14')).toBe('14 Mar 2026');
    expect(formatDate('14.3.2026')).toBe('14.3.2026');
    expect(formatDate('2026-13-01')).toBe('2026-13-01');
    expect(formatInstant(new Date(2026, 2, 14, 9, 5).toISOString())).toBe('14 Mar 2026, 09:05');
    expect(formatInstant('soon')).toBe('soon');
  });
});
