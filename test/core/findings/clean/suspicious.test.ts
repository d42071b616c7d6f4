/** Rules of suspicion on invented trials: what each finds, what moves no limit, and that no rule removes anything. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Cell } from '../../../../core/base/csv.ts';
import { GRID_COLUMNS, gridColumn } from '../../../../core/findings/clean/columns.ts';
import {
  suspicionsOf,
  type RuledTrial,
  type RuleName,
  type Suspicion,
} from '../../../../core/findings/clean/suspicious.ts';

function trial(values: Readonly<Record<string, number>>, more: Partial<RuledTrial> = {}): RuledTrial {
  const cells: Cell[] = new Array<Cell>(GRID_COLUMNS.length + 40).fill(null);
  for (const [name, value] of Object.entries(values)) cells[gridColumn(name).at] = value;
  return { participant: 'P1', group: 'sprint', counts: true, cells, ...more };
}

const found = (trials: readonly RuledTrial[], ...rules: RuleName[]) =>
  [...suspicionsOf(trials, new Set(rules))].flatMap(([index, own]) =>
    own.map(({ column, rule }) => `${index} ${rule} ${column}`),
  );

const velocities = (...values: number[]) => values.map((velocity_m_s) => trial({ velocity_m_s }));

describe('each rule', () => {
  it('finds what lies beyond median ± 3 MAD of its group, and says with which numbers', () => {
    // Median 1.5, distances 0.1 0.1 0 0.2 0.2 0.1 0.9, median 0.1: limits 1.5 ± 3 × 0.14826.
    const trials = velocities(1.4, 1.6, 1.5, 1.3, 1.7, 1.4, 2.4);
    const [[index, own]] = [...suspicionsOf(trials, new Set(['group']))] as [[number, readonly Suspicion[]]];
    expect(index).toBe(6);
    expect(own[0]!.says).toBe(
      'Velocity 2.4 m/s lies outside 1.06 to 1.94 m/s: median 1.5 m/s ± 3 MAD of 0.148 m/s, 7 trials, sprint.',
    );
  });

  it('holds an index against those alone whose propulsion was read from the same thing', () => {
    const index = (basis: string, ...values: number[]) =>
      values.map((idc_pct) => {
        const one = trial({ idc_pct });
        (one.cells as Cell[])[gridColumn('propulsion_basis').at] = basis;
        return one;
      });
    // From film −2 or so, from force −11 or so: each is ordinary among its like.
    const film = index('video', -2, -2.5, -1.5, -2.2, -1.8, -2.1, -1.9);
    const force = index('force', -11, -11.5, -10.6, -11.2, -10.8);
    expect(found([...film, ...force], 'group')).toEqual([]);
    const [[, [only]]] = [
      ...suspicionsOf([...film, ...index('video', -11)], new Set(['group'])),
    ] as never as [[number, [Suspicion]]];
    expect(only.says).toMatch(/^Index of coordination.*8 trials, sprint, propulsion from film\.$/);
  });

  it('holds a group against itself alone, and says nothing of fewer than five', () => {
    const slow = velocities(0.9, 0.91, 0.92, 0.93).map((one) => ({ ...one, group: 'easy' }));
    expect(found([...velocities(1.4, 1.5, 1.45, 1.55, 1.5), ...slow], 'group')).toEqual([]);
  });

  it('lets an excluded trial move no limit, and still judges it', () => {
    const wild = velocities(9, 9, 9, 9, 9, 9).map((one) => ({ ...one, counts: false }));
    const own = found([...velocities(1.4, 1.5, 1.45, 1.55, 1.5), ...wild], 'group');
    expect(own).toHaveLength(6);
  });

  it('finds what no swimmer does', () => {
    expect(found(velocities(2.6, 1.5, 0.2), 'bounds')).toEqual([
      '0 bounds velocity_m_s',
      '2 bounds velocity_m_s',
    ]);
  });

  it('finds hands that differ by more than half of their mean, at the stronger one', () => {
    const hands = (l: number, r: number) => trial({ mean_force_left_n: l, mean_force_right_n: r });
    expect(found([hands(30, 50), hands(30, 49), hands(50, 30)], 'hands')).toEqual([]);
    expect(found([hands(30, 51), hands(52, 30)], 'hands')).toEqual([
      '0 hands mean_force_right_n',
      '1 hands mean_force_left_n',
    ]);
  });

  it('finds one swim that lies far from the others of its swimmer', () => {
    const of = (participant: string, ...values: number[]) =>
      velocities(...values).map((one) => ({ ...one, participant }));
    const trials = [
      ...of('A', 1.2, 1.22, 1.21),
      ...of('B', 1.6, 1.63, 1.62),
      ...of('C', 1.4, 1.41, 1.62),
      ...of('D', 1.8),
      ...of('E', 1.5, 1.52),
    ];
    expect(found(trials, 'change')).toEqual(['8 change velocity_m_s']);
    expect(found(trials, 'group')).toEqual([]);
    expect(found(trials.slice(0, 9), 'change')).toEqual([]);
  });
});

it('is the same for every unit of measure: a law of the rules against groups and swimmers', () => {
  const some = fc.array(fc.double({ min: 0.5, max: 2, noNaN: true }), { minLength: 5, maxLength: 30 });
  fc.assert(
    fc.property(some, fc.constantFrom(2, 4, 0.5), (values, scale) => {
      const at = (factor: number) =>
        found(
          values.map((value, k) => trial({ idc_pct: value * factor }, { participant: `P${k % 4}` })),
          'group',
          'change',
        );
      expect(at(scale)).toEqual(at(1));
    }),
  );
});

it('has every column of the grid once, with a head', () => {
  const names = GRID_COLUMNS.map(({ name }) => name);
  expect(new Set(names).size).toBe(names.length);
  expect(new Set(GRID_COLUMNS.map(({ head }) => head)).size).toBe(names.length);
  expect(gridColumn('velocity_m_s').uAt).toBe(gridColumn('velocity_m_s').at + 1);
});
