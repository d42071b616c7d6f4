import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { diffRows, diffSentence } from '../../../core/dataset/releasediff.ts';

const COLUMNS = ['trial', 'participant', 'velocity_m_s'];
const table = (...rows: string[][]) => ({ columns: COLUMNS, rows });

describe('rows of two releases', () => {
  test('are told apart by their key: added, changed cell by cell, removed', () => {
    const before = table(['T1', 'P1', '1.5'], ['T2', 'P2', '1.6'], ['T3', 'P3', '']);
    const after = table(['T4', 'P4', '1.9'], ['T3', 'P3', '1.7'], ['T1', 'P1', '1.5']);
    expect(diffRows('trials', 'D1', before, after)).toEqual([
      { table: 'trials', day: 'D1', row: 'T4', what: 'added', cells: [] },
      {
        table: 'trials',
        day: 'D1',
        row: 'T3',
        what: 'changed',
        cells: [{ column: 'velocity_m_s', before: '', after: '1.7' }],
      },
      { table: 'trials', day: 'D1', row: 'T2', what: 'removed', cells: [] },
    ]);
  });

  test('of strokes have trial, hand and number for a key', () => {
    const columns = ['trial', 'hand', 'stroke', 'idc_pct'];
    const changes = diffRows(
      'strokes',
      'D1',
      {
        columns,
        rows: [
          ['T1', 'left', '1', '2'],
          ['T1', 'right', '1', '3'],
        ],
      },
      {
        columns,
        rows: [
          ['T1', 'left', '1', '2'],
          ['T1', 'right', '1', '4'],
        ],
      },
    );
    expect(changes.map(({ row }) => row)).toEqual(['T1 right 1']);
  });

  test('columns that one of them lacks are no change', () => {
    const after = { columns: [...COLUMNS, 'new'], rows: [['T1', 'P1', '1.5', 'x']] };
    expect(diffRows('trials', 'D1', table(['T1', 'P1', '1.5']), after)).toEqual([]);
  });

  const rows = fc.uniqueArray(fc.tuple(fc.stringMatching(/^T[0-9]{1,2}$/), fc.string()), {
    selector: ([trial]) => trial,
  });
  const cells = (list: [string, string][]) => table(...list.map(([trial, value]) => [trial, 'P', value]));

  test('the same rows do not differ, and the difference the other way is its mirror', () => {
    fc.assert(
      fc.property(rows, rows, (a, b) => {
        expect(diffRows('trials', 'D', cells(a), cells(a))).toEqual([]);
        const [there, back] = [
          diffRows('trials', 'D', cells(a), cells(b)),
          diffRows('trials', 'D', cells(b), cells(a)),
        ];
        const of = (list: typeof there, what: string) =>
          list.flatMap((change) => (change.what === what ? [change.row] : [])).toSorted();
        expect(of(there, 'added')).toEqual(of(back, 'removed'));
        expect(of(there, 'changed')).toEqual(of(back, 'changed'));
      }),
    );
  });
});

describe('the sentence', () => {
  const NONE = { added: 0, removed: 0, changed: 0 };
  const none = { from: 'R1', to: 'R2', daysAdded: [], daysRemoved: [], versions: null };

  test('says that nothing differs', () => {
    expect(diffSentence({ ...none, tables: [{ table: 'trials', ...NONE }] })).toBe(
      'Nothing differs between R1 and R2.',
    );
  });

  test('counts days and rows, and names versions that differ', () => {
    const tables = [
      { table: 'trials', added: 1, removed: 0, changed: 2 },
      { table: 'strokes', ...NONE, removed: 3 },
    ] as const;
    expect(
      diffSentence({ ...none, daysAdded: ['D3'], tables, versions: { from: '0.1.0', to: '0.2.0' } }),
    ).toBe(
      'From R1 to R2: 1 day added (D3); 1 trial added; 2 trials changed; 3 strokes removed. R1 was computed by version 0.1.0 of the program, R2 by 0.2.0.',
    );
  });
});
