/** How cells are quoted: RFC 4180 section 2. Lines end in LF here, as formats.md section 3 asks. */
import { describe, expect, test } from 'vitest';
import { printCell } from '../../core/base/csv.ts';
import { printTable } from '../../core/dataset/package.ts';
import type { DatasetTable } from '../../core/dataset/dataset.ts';
import { check, titleOf } from './values.ts';

describe('quoting', () => {
  const field = check<{ field: string }, string>('csv.json', 'csv.rfc4180.quote');
  test(titleOf(field), () => expect(printCell(field.inputs.field)).toBe(field.expected));

  const record = check<{ fields: readonly string[] }, string>('csv.json', 'csv.rfc4180.record');
  test(titleOf(record), () => {
    const names = record.inputs.fields.map((_, k) => `c${k}`);
    const table: DatasetTable = {
      name: 'refused',
      title: '',
      fields: names.map((name) => ({ name, type: 'string', unit: '', description: '' })),
      rows: [record.inputs.fields],
    };
    expect(printTable(table)).toBe(`${names.join(',')}\n${record.expected.replace('\r\n', '\n')}`);
  });

  test('the examples of RFC 4180 section 2, rules 5 to 7 (from memory)', () => {
    expect(['aaa', 'b\r\nbb', 'ccc'].map(printCell).join(',')).toBe('aaa,"b\r\nbb",ccc');
    expect(['aaa', 'b"bb', 'ccc'].map(printCell).join(',')).toBe('aaa,"b""bb",ccc');
  });
});
