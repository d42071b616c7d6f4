/** Which tests a design allows, by what the trade does with such a design; no pretest has a say. */
import { describe, expect, it } from 'vitest';
import { fitsOf, planDesign } from '../../../core/findings/planning.ts';
import { studyOf } from '../../../core/findings/study.ts';

const group = (name: string, swimmers: number) => ({ name, swimmers, trials: 2 * swimmers });
const tests = (groups: ReturnType<typeof group>[], inSeveral: number) =>
  fitsOf({ about: 'groups', groups, inSeveral }).map(({ test }) => test);

describe('the test to take first', () => {
  // Welch by default (Delacre et al. 2017, Int Rev Soc Psychol 30:92–101); pairs are never independent groups.
  it.each([
    ['two groups of different swimmers', [group('a', 9), group('b', 8)], 0, 'welch'],
    ['two groups that everyone swam under', [group('a', 8), group('b', 8)], 8, 'paired'],
    ['two groups that some swam under both of', [group('a', 9), group('b', 8)], 3, 'mixed'],
    ['three groups of different swimmers', [group('a', 9), group('b', 8), group('c', 7)], 0, 'welch_anova'],
    ['three groups, some swimmers in several', [group('a', 9), group('b', 8), group('c', 7)], 2, 'mixed'],
  ] as const)('%s', (_, groups, inSeveral, first) => {
    expect(tests([...groups], inSeveral)[0]).toBe(first);
  });

  it('never takes trials of one swimmer for independent', () => {
    for (const inSeveral of [1, 4, 8])
      expect(tests([group('a', 8), group('b', 8)], inSeveral)).not.toContain('welch');
  });
});

it('counts swimmers and trials of groups, and those in several, without excluded trials', () => {
  const columns = ['day', 'trial', 'participant', 'status', 'condition', 'velocity_m_s'];
  const rows = [
    ['d', 't1', 'A', 'accepted', 'sprint', '1.5'],
    ['d', 't2', 'A', 'recorded', 'paddles', ''],
    ['d', 't3', 'B', 'accepted', 'sprint', '1.6'],
    ['d', 't4', 'B', 'excluded', 'paddles', '1.7'],
  ];
  const people = {
    columns: ['day', 'participant', 'sex'],
    rows: [
      ['d', 'A', 'male'],
      ['d', 'B', 'female'],
    ],
  };
  const design = planDesign(
    studyOf({
      trials: { columns, rows },
      participants: people,
      strokes: null,
      calibrations: null,
      sectionUM: new Map(),
    }),
  );
  expect(design).toMatchObject({ swimmers: 2, trials: 3, repeated: 1 });
  expect(design.numbers).toEqual([{ name: 'velocity_m_s', unit: 'm/s', trials: 2 }]);
  expect(design.columns.find(({ name }) => name === 'condition')).toEqual({
    name: 'condition',
    groups: [
      { name: 'paddles', swimmers: 1, trials: 1 },
      { name: 'sprint', swimmers: 2, trials: 2 },
    ],
    inSeveral: 1,
  });
  expect(design.columns.map(({ name }) => name)).toContain('sex');
});
