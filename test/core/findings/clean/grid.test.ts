/** Finding, ordering, grouping and counting the rows of the cleaning grid. */
import { describe, expect, it } from 'vitest';
import type { Cell } from '../../../../core/base/csv.ts';
import { groupRows, sortRows } from '../../../../core/findings/clean/arrange.ts';
import { GRID_COLUMNS, gridColumn } from '../../../../core/findings/clean/columns.ts';
import {
  completenessOf,
  type PlacedSwimmer,
  type PlacedTrial,
} from '../../../../core/findings/clean/complete.ts';
import { readFilter, textsOf } from '../../../../core/findings/clean/filter.ts';

function row(values: Readonly<Record<string, Cell>>) {
  const cells: Cell[] = new Array<Cell>(GRID_COLUMNS.length + 40).fill(null);
  for (const [name, value] of Object.entries(values)) cells[gridColumn(name).at] = value;
  return { cells };
}

const ROWS = [
  row({ trial: 'P10-1', participant: 'P10', velocity_m_s: 1.5, condition: 'sprint' }),
  row({ trial: 'P2-1', participant: 'P2', velocity_m_s: null, condition: 'easy' }),
  row({ trial: 'P2-2', participant: 'P2', velocity_m_s: 1.9, condition: 'sprint' }),
];
const names = (rows: readonly { cells: readonly Cell[] }[]) =>
  rows.map(({ cells }) => cells[gridColumn('trial').at]);
const found = (typed: string) => {
  const filter = readFilter(typed);
  return names(ROWS.filter(({ cells }) => filter.holds(cells, textsOf(cells))));
};

describe('the filter', () => {
  it('takes words in any order, and numbers by name or head', () => {
    expect(found('')).toHaveLength(3);
    expect(found('SPRINT p2')).toEqual(['P2-2']);
    expect(found('velocity>1.6')).toEqual(['P2-2']);
    expect(found('velocity_m_s<=1,5')).toEqual(['P10-1']);
    expect(found('condition=easy')).toEqual(['P2-1']);
  });

  it('says what it cannot read, and holds nothing back for it', () => {
    expect(readFilter('speedo>1').says).toBe('There is no column "speedo".');
    expect(readFilter('velocity>fast').says).toContain('"fast" is no number');
    expect(found('velocity>')).toHaveLength(3);
  });
});

describe('the order', () => {
  it('puts what has no value last either way, and codes by their numbers', () => {
    const by = (name: string, isDown: boolean) => names(sortRows(ROWS, { column: gridColumn(name), isDown }));
    expect(by('velocity_m_s', false)).toEqual(['P10-1', 'P2-2', 'P2-1']);
    expect(by('velocity_m_s', true)).toEqual(['P2-2', 'P10-1', 'P2-1']);
    expect(by('participant', false)).toEqual(['P2-1', 'P2-2', 'P10-1']);
    expect(by('participant', true)).toEqual(['P10-1', 'P2-1', 'P2-2']);
  });

  it('groups under heads with count and median, and closes a group', () => {
    const lines = groupRows(ROWS, gridColumn('condition'), new Set(['easy']), [gridColumn('velocity_m_s')]);
    expect(lines.map((line) => (line.kind === 'group' ? `${line.name} ${line.count}` : 'row'))).toEqual([
      'easy 1',
      'sprint 2',
      'row',
      'row',
    ]);
    expect(lines[1]).toMatchObject({ medians: new Map([['velocity_m_s', 1.7]]) });
  });
});

describe('the median of a group', () => {
  const swum = (basis: string, idc: number) =>
    row({ condition: 'sprint', propulsion_basis: basis, idc_pct: idc, velocity_m_s: 1.8 });
  const mixed = (...rows: readonly ReturnType<typeof row>[]) => {
    const columns = [gridColumn('idc_pct'), gridColumn('velocity_m_s')];
    const [head] = groupRows(rows, gridColumn('condition'), new Set(), columns);
    return head?.kind === 'group' ? [...head.mixed] : null;
  };

  it('is told apart where propulsion was read from force and from film, and only of what rests on it', () => {
    expect(mixed(swum('force', -9), swum('video', -2))).toEqual(['idc_pct']);
    expect(mixed(swum('mixed', -9))).toEqual(['idc_pct']);
    expect(mixed(swum('video', -9), swum('video', -2))).toEqual([]);
    // A trial without the number takes no part in it.
    expect(mixed(swum('video', -2), row({ condition: 'sprint', propulsion_basis: 'force' }))).toEqual([]);
  });
});

describe('completeness', () => {
  const swimmer = (participant: string): PlacedSwimmer => ({ day: 'd', participant, attempts: 2 });
  const swum = (participant: string, attempt: number, more: Partial<PlacedTrial> = {}): PlacedTrial => ({
    day: 'd',
    participant,
    condition: '',
    attempt,
    excluded: false,
    hasValue: true,
    ...more,
  });

  it('expects every swimmer in every attempt that the protocol plans, swum or not', () => {
    const table = completenessOf(
      [swimmer('A'), swimmer('B'), swimmer('C')],
      [swum('A', 1), swum('A', 2), swum('B', 1, { excluded: true }), swum('B', 2, { hasValue: false })],
    );
    expect(table.swimmers.map(({ presence }) => presence)).toEqual([
      ['there', 'there'],
      ['excluded', 'no_value'],
      ['missing', 'missing'],
    ]);
    expect(table.says).toBe(
      '1 of 3 swimmers complete. Of 6 swims: 2 not swum, 1 excluded, 1 without the quantity.',
    );
  });

  it('counts conditions apart, and an attempt swum twice once', () => {
    const table = completenessOf(
      [swimmer('A')],
      [
        swum('A', 1, { condition: 'easy' }),
        swum('A', 1, { condition: 'sprint', excluded: true }),
        swum('A', 1, { condition: 'sprint' }),
      ],
    );
    expect(table.places).toHaveLength(4);
    expect(table.swimmers[0]!.presence).toEqual(['there', 'missing', 'there', 'missing']);
  });
});
