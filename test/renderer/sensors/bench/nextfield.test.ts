/** Enter goes from one stretch of a recording to the next that is not a point yet. */
import { expect, it } from 'vitest';
import { nextField } from '../../../../renderer/sensors/bench/nextfield.ts';

const FIELD = '<td><input type="number"><input inputmode="decimal"></td>';

it('passes over stretches that were taken, and ends with the last', () => {
  document.body.innerHTML = `<table><tbody>${`<tr>${FIELD}</tr>`.repeat(4)}</tbody></table>`;
  const rows = [...document.querySelectorAll('tr')];
  const fields = rows.map((row) => row.querySelector<HTMLInputElement>('[inputmode]')!);
  fields[1]!.disabled = true;
  expect(nextField(rows[0]!)).toBe(fields[2]);
  expect(nextField(rows[2]!)).toBe(fields[3]);
  expect(nextField(rows[3]!)).toBeNull();
});
