/** Numbers as people type them, in the one field that takes them. */
import { cleanup, fireEvent, render, screen } from '@testing-library/svelte';
import { afterEach, describe, expect, it, test, vi } from 'vitest';
import NumberField from '../../../renderer/fields/NumberField.svelte';
import { readTyped, typedNumber, typedText } from '../../../renderer/fields/numberfield.ts';

describe('what is typed', () => {
  test.each([
    ['12.5', 12.5],
    [' 12,5 ', 12.5],
    ['52,5', 52.5],
    ['\u22123.1', -3.1],
    ['.5', 0.5],
    ['1e3', 1000],
    ['2,5E-3', 0.0025],
  ])('“%s” is a number, as in files', (text, value) => expect(readTyped(text)).toEqual({ ok: true, value }));

  test.each(['x', '1,2,3', '1 000', 'Infinity', 'NaN', '1.5 m', '0x10', '1e999'])(
    '“%s” is none, and said so',
    (text) => {
      expect(readTyped(text)).toMatchObject({ ok: false, says: expect.stringContaining('not a number') });
      expect(typedNumber(text)).toBeNull();
    },
  );

  it('may be nothing, unless a number is needed', () => {
    expect(readTyped('')).toEqual({ ok: true, value: null });
    expect(readTyped(' ', 'any', true)).toMatchObject({ ok: false });
  });

  it('keeps to its bound', () => {
    for (const [text, bound] of [
      ['0', 'positive'],
      ['-1', 'notNegative'],
      ['1.5', 'count'],
      ['91', 'latitude'],
    ] as const) {
      expect(readTyped(text, bound)).toMatchObject({ ok: false });
      expect(typedNumber(text, bound)).toBeNull();
    }
    expect(typedNumber('0', 'notNegative')).toBe(0);
  });

  it('is shown without what floating point adds', () => {
    expect(typedText(100 * 0.0007)).toBe('0.07');
    expect(typedText(null)).toBe('');
  });
});

describe('the field', () => {
  afterEach(cleanup);

  const field = () => screen.getByLabelText<HTMLInputElement>('Depth, m');
  const type = (value: string) => fireEvent.input(field(), { target: { value } });

  it('hands on numbers alone, and keeps what is none with its reason', async () => {
    const onvalue = vi.fn();
    const { rerender } = render(NumberField, { label: 'Depth', unit: 'm', value: 1.5, onvalue });
    expect(field().value).toBe('1.5');
    await type('2,25');
    expect(onvalue).toHaveBeenLastCalledWith(2.25);
    await type('two');
    expect(onvalue).toHaveBeenCalledTimes(1);
    expect(field().getAttribute('aria-invalid')).toBe('true');
    expect(screen.getByText(/“two” is not a number/)).toBeTruthy();
    await rerender({ value: 3 });
    expect(field().value).toBe('3');
    expect(screen.queryByText(/not a number/)).toBeNull();
  });

  it('says why a number was not taken', async () => {
    const take = (value: number) => (value > 5 ? 'The pool is 5 m deep.' : null);
    render(NumberField, { label: 'Depth', unit: 'm', value: 1, take });
    await type('6');
    expect(screen.getByText('The pool is 5 m deep.')).toBeTruthy();
    await type('');
    expect(screen.getByText('It takes a number.')).toBeTruthy();
    await type('4');
    expect(field().getAttribute('aria-invalid')).toBe('false');
  });
});
