/**
 * What a plan can be made of before its numbers are looked at: which columns there are, who is in which group, how many
 * swimmers swam under several, and which tests such a design allows, each with its reason. No value of an outcome is read
 * but for whether there is one.
 */
import { DATASET_FIELDS } from '../dataset/dataset.ts';
import { counted } from '../base/words.ts';
import type { TestName } from './plan.ts';
import { byCodePoint, groupColumn, grouped, numberIn, type Study } from './study.ts';

export interface DesignGroup {
  readonly name: string;
  readonly swimmers: number;
  readonly trials: number;
}

/** A column that makes groups. */
export interface DesignColumn {
  readonly name: string;
  readonly groups: readonly DesignGroup[];
  /** Swimmers who have trials in two groups or more. */
  readonly inSeveral: number;
}

export interface PlanDesign {
  readonly swimmers: number;
  readonly trials: number;
  /** Swimmers with two trials or more. */
  readonly repeated: number;
  /** Columns that hold numbers, with their unit, and how many trials have one. */
  readonly numbers: readonly { readonly name: string; readonly unit: string; readonly trials: number }[];
  readonly columns: readonly DesignColumn[];
}

/** More values than this make no groups. */
const MOST_GROUPS = 12;
const NO_GROUPS: ReadonlySet<string> = new Set([
  'trial',
  'participant',
  'exclusion_reason',
  'check_reason',
  'flags',
  'consent',
  'film_consent',
  'film_sharing_consent',
]);

/** What the trials that are not excluded allow to be asked. */
export function planDesign(study: Study): PlanDesign {
  const status = study.tables.trials.columns.indexOf('status');
  const trials = study.trials.filter(({ cells }) => cells[status] !== 'excluded');
  const people = grouped(trials, ({ participant }) => participant);
  const numbers = DATASET_FIELDS.trials.flatMap(({ name, type, unit }) => {
    const at = study.tables.trials.columns.indexOf(name);
    if (type === 'string' || name.endsWith('_u') || name === 'attempt' || at < 0) return [];
    const own = trials.filter(({ cells }) => numberIn(cells[at] ?? '') !== null).length;
    return own === 0 ? [] : [{ name, unit, trials: own }];
  });
  const names = ['day', ...DATASET_FIELDS.trials, ...DATASET_FIELDS.participants].flatMap((field) =>
    typeof field === 'string'
      ? [field]
      : field.type === 'string' || field.name === 'attempt'
        ? [field.name]
        : [],
  );
  const columns = [...new Set(names)]
    .filter((name) => !NO_GROUPS.has(name))
    .flatMap((name): DesignColumn[] => {
      const column = groupColumn(study, name);
      if (!column.ok) return [];
      const inGroups = grouped(trials, (trial) => column.value.of(trial) ?? '');
      inGroups.delete('');
      if (inGroups.size < 2 || inGroups.size > MOST_GROUPS) return [];
      const groups = [...inGroups]
        .sort(([a], [b]) => byCodePoint(a, b))
        .map(([group, own]) => ({
          name: group,
          trials: own.length,
          swimmers: new Set(own.map(({ participant }) => participant)).size,
        }));
      const inSeveral = [...people.values()].filter(
        (own) => new Set(own.flatMap((trial) => column.value.of(trial) ?? [])).size > 1,
      ).length;
      return [{ name, groups, inSeveral }];
    });
  const repeated = [...people.values()].filter((own) => own.length > 1).length;
  return { swimmers: people.size, trials: trials.length, repeated, numbers, columns };
}

/** A test that a design allows, and why it fits, one sentence or two. */
export interface Fit {
  readonly test: TestName;
  readonly why: string;
}

/** What a question is about, as far as the choice of its test goes. */
export type Asked =
  | { readonly about: 'groups'; readonly groups: readonly DesignGroup[]; readonly inSeveral: number }
  | { readonly about: 'line' }
  | { readonly about: 'repeats'; readonly repeated: number };

/** The tests that fit a question, the one to take first. A pretest chooses none of them: the design does. */
export function fitsOf(asked: Asked): readonly Fit[] {
  const fits = (pairs: readonly (readonly [TestName, string])[]): readonly Fit[] =>
    pairs.map(([test, why]) => ({ test, why }));
  if (asked.about === 'line')
    return fits([
      ['pearson', 'Two numbers of each swimmer: how closely they lie along a straight line.'],
      ['spearman', 'Two numbers of each swimmer: whether one rises with the other, along a line or not.'],
      ['regression', 'Two numbers of each swimmer: how much the outcome changes with one unit of the other.'],
    ]);
  if (asked.about === 'repeats')
    return fits([
      [
        'repeatability',
        `${counted(asked.repeated, 'swimmer')} with two trials or more: how far a swimmer’s own trials lie apart.`,
      ],
    ]);
  const { groups, inSeveral } = asked;
  const sizes = groups.map(({ name, swimmers }) => `${name} ${swimmers}`).join(', ');
  const mixed: readonly [TestName, string] = [
    'mixed',
    `${counted(inSeveral, 'swimmer')} swam under several groups and some did not: all trials count, each with its swimmer, for trials of one swimmer are not independent.`,
  ];
  if (groups.length === 2 && inSeveral > 0) {
    const everyone = groups.every(({ swimmers }) => swimmers === inSeveral);
    const pairs: readonly (readonly [TestName, string])[] = [
      [
        'paired',
        `${counted(inSeveral, 'swimmer')} swam under both groups: each is held against themselves, for their trials are not independent. Who swam under one alone is left out.`,
      ],
      ['wilcoxon', 'The same, by ranks: where a few differences may lie far out.'],
    ];
    return fits(everyone ? [...pairs, mixed] : [mixed, ...pairs]);
  }
  if (inSeveral > 0) return fits([mixed]);
  if (groups.length === 2)
    return fits([
      [
        'welch',
        `Two groups of different swimmers (${sizes}): compares their means and asks for no equal spreads, so none is tested for first.`,
      ],
      [
        'mann_whitney',
        `Two groups of different swimmers (${sizes}), by ranks: where a few values may lie far out.`,
      ],
      ['equivalence', 'To claim that two groups are the same, within a margin that is given before looking.'],
      ['student', 'Means of two groups whose spreads are known beforehand to be equal.'],
    ]);
  return fits([
    [
      'welch_anova',
      `${groups.length} groups of different swimmers (${sizes}): compares their means and asks for no equal spreads.`,
    ],
    ['kruskal', 'The same, by ranks: where a few values may lie far out.'],
    ['anova', 'Means of groups whose spreads are known beforehand to be equal.'],
  ]);
}
