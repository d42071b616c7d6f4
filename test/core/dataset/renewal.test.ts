import { expect, test } from 'vitest';
import { compareVersions, whyChanged, type NumberChange } from '../../../core/dataset/renewal.ts';

const CHANGES: readonly NumberChange[] = [
  { since: '0.2.0', columns: ['velocity_m_s_u'], says: 'The section’s length has an uncertainty.' },
  { since: '0.10.0', columns: ['velocity_m_s_u', 'idc_pct'], says: 'A partner may lie outside the section.' },
];

test('versions stand in the order of their three numbers', () => {
  // The worked example of Semantic Versioning 2.0.0, section 11.2, and two digits, which text would order wrongly.
  const listed = ['1.0.0', '2.0.0', '2.1.0', '2.1.1', '2.10.0'];
  expect(listed.toReversed().toSorted(compareVersions)).toEqual(listed);
});

test('a difference is put down to the changes between the two versions that move its column', () => {
  const why = (column: string, from: string, to: string) => whyChanged(column, from, to, CHANGES).length;
  expect(whyChanged('idc_pct', '0.2.0', '0.10.0', CHANGES)).toEqual([
    'Since 0.10.0: A partner may lie outside the section.',
  ]);
  expect(why('velocity_m_s_u', '0.1.0', '0.10.1')).toBe(2);
  expect(why('velocity_m_s_u', '0.2.0', '0.9.9')).toBe(0);
  // An older program that opens the lab of a newer one.
  expect(why('velocity_m_s_u', '0.10.0', '0.1.0')).toBe(2);
  expect(why('cycle_time_s', '0.1.0', '0.10.0')).toBe(0);
});
