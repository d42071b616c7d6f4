/** Answers one question of a plan: checks what it asks for, puts the units together, runs the test. */
import { failed, done, type Outcome } from '../base/refusal.ts';
import { anova, anova2, welchAnova, type Placed } from './anova.ts';
import { chiSquare, fisher, type Counts } from './contingency.ts';
import { pearson, regression, spearman } from './correlation.ts';
import { mixed } from './mixed.ts';
import type { Question, TestName } from './plan.ts';
import { kruskal, mannWhitney, wilcoxon } from './ranktests.ts';
import { repeatability } from './repeatability.ts';
import { groupColumn, grouped, outcomeOf, type GroupColumn, type Study, type ValueOf } from './study.ts';
import type { Answer, Group, Term } from './term.ts';
import { equivalence, paired, student, welch } from './ttests.ts';
import {
  keptTrials,
  pairUnits,
  participantUnits,
  presentText,
  repeatedUnits,
  trialUnits,
  type Compared,
  type Readers,
} from './units.ts';

/** How a test takes its values. */
export type Design = 'groups' | 'pairs' | 'cells' | 'counts' | 'line' | 'trials' | 'repeats';

const DESIGNS: Readonly<Record<TestName, Design>> = {
  welch: 'groups',
  student: 'groups',
  equivalence: 'groups',
  mann_whitney: 'groups',
  welch_anova: 'groups',
  anova: 'groups',
  kruskal: 'groups',
  paired: 'pairs',
  wilcoxon: 'pairs',
  anova2: 'cells',
  chi_square: 'counts',
  fisher: 'counts',
  pearson: 'line',
  spearman: 'line',
  regression: 'line',
  mixed: 'trials',
  repeatability: 'repeats',
};

/** How the swimmers’ trials must be arranged for a test: what it holds against what. */
export function designOf(test: TestName): Design {
  return DESIGNS[test];
}

const TWO_GROUPS: ReadonlySet<TestName> = new Set([
  'welch',
  'student',
  'paired',
  'equivalence',
  'mann_whitney',
  'wilcoxon',
]);

/** Columns that are text by the dataset's schema, whatever they look like. */
export interface TextColumns {
  readonly trials: ReadonlySet<string>;
  readonly strokes: ReadonlySet<string>;
}

/** A question with its answer and everything the answer was made from. */
export interface Answered {
  readonly question: Question;
  readonly compared: Compared;
  readonly terms: readonly Term[];
  /** Names of the columns that make the groups. */
  readonly by: readonly string[];
}

type Part<T> = Outcome<T, string>;

/** Answers a question; the failure is a sentence that says why there is no answer. */
export function ask(study: Study, question: Question, texts: TextColumns): Part<Answered> {
  const design = designOf(question.test);
  const fault = shapeFault(question, design);
  if (fault !== null) return failed(fault);
  const kept = keptTrials(study, question.keep);
  if (!kept.ok) return kept;
  if (kept.value.length === 0) return failed('No trial is left by what the question keeps.');
  const readers = readersOf(study, question, texts, design);
  if (!readers.ok) return readers;
  const by =
    design === 'counts'
      ? question.counts!
      : design === 'line' || design === 'repeats'
        ? []
        : listOf(question.by);
  const columns: GroupColumn[] = [];
  for (const name of by) {
    const column = groupColumn(study, name);
    if (!column.ok) return column;
    columns.push(column.value);
  }
  const named = namedGroups(question, by.length);
  if (!named.ok) return named;
  const compared =
    design === 'pairs'
      ? pairUnits(kept.value, question, readers.value, columns[0]!, named.value)
      : design === 'trials'
        ? trialUnits(kept.value, readers.value, columns[0]!, named.value)
        : design === 'repeats'
          ? repeatedUnits(study, kept.value, readers.value)
          : participantUnits(kept.value, question, readers.value, columns, named.value);
  if (!compared.ok) return compared;
  const few = groupFault(question, by, compared.value);
  if (few !== null) return failed(few);
  const answer = run(question, design, compared.value, by);
  if (!answer.ok) {
    const { leftOut } = compared.value;
    return failed(
      leftOut.total === 0 ? answer.error : `${answer.error} Left out: ${leftOut.notes.join('; ')}.`,
    );
  }
  return done({ question, compared: compared.value, terms: answer.value, by });
}

function listOf(by: Question['by']): readonly string[] {
  return by === undefined ? [] : typeof by === 'string' ? [by] : by;
}

/** What a question must and must not hold for its test; null where it is in order. */
function shapeFault(question: Question, design: Design): string | null {
  const { test, unit } = question;
  if (unit === 'trial' && design !== 'trials' && design !== 'repeats')
    return `The unit "trial" fits "mixed" and "repeatability" only: several trials of a swimmer are not independent. Take participant_mean or participant_best for "${test}".`;
  if (
    unit === 'participant_best' &&
    question.best === undefined &&
    design !== 'trials' &&
    design !== 'repeats'
  )
    return 'The unit "participant_best" needs "best", such as {"by": "velocity_m_s", "highest": true}.';
  if (design === 'counts')
    return question.counts?.length === 2 ? null : `"${test}" needs "counts": a list of two columns.`;
  if (question.outcome === undefined) return `"${test}" needs "outcome": a numeric column.`;
  if (design === 'line') return question.on === undefined ? `"${test}" needs "on": a numeric column.` : null;
  const by = listOf(question.by);
  if (design === 'cells') return by.length === 2 ? null : `"${test}" needs "by": a list of two columns.`;
  if (design !== 'repeats' && by.length !== 1) return `"${test}" needs "by": one column.`;
  if (test === 'equivalence' && question.margin === undefined)
    return '"equivalence" needs "margin": the largest difference that counts as none, in the unit of the outcome.';
  return null;
}

function readersOf(study: Study, question: Question, texts: TextColumns, design: Design): Part<Readers> {
  const of = (name: string | undefined): Part<ValueOf | null> =>
    name === undefined ? done(null) : outcomeOf(study, name, texts);
  const outcome = design === 'counts' ? done(null) : of(question.outcome);
  if (!outcome.ok) return outcome;
  const on = design === 'line' ? of(question.on) : done(null);
  if (!on.ok) return on;
  const isBest = question.unit === 'participant_best' && design !== 'trials' && design !== 'repeats';
  const best = isBest ? of(question.best!.by) : done(null);
  if (!best.ok) return failed(`best.by: ${best.error}`);
  return done({ outcome: outcome.value, on: on.value, best: best.value });
}

/** The named groups of each column. */
function namedGroups(question: Question, columns: number): Part<readonly (readonly string[] | undefined)[]> {
  const { groups } = question;
  if (groups === undefined || columns === 0) return done([]);
  const isNested = groups.some((own) => Array.isArray(own));
  if (columns === 1)
    return isNested
      ? failed('"groups" takes one list of values for one column.')
      : done([groups as string[]]);
  if (groups.length !== 2 || !groups.every((own) => Array.isArray(own)))
    return failed('"groups" takes two lists of values for two columns.');
  return done(groups as string[][]);
}

/** Too few groups for the test, or a named group that nobody is in. */
function groupFault({ test }: Question, by: readonly string[], { names, found }: Compared): string | null {
  for (const [k, own] of names.entries()) {
    if (TWO_GROUPS.has(test) && own.length !== 2)
      return `"${test}" needs two groups of "${by[k]!}", and there ${own.length === 1 ? 'is one' : `are ${own.length}`} (${own.slice(0, 12).join(', ') || 'none'}); name two in "groups".`;
    if (own.length < 2)
      return `A comparison needs two groups, and "${by[k]!}" gives ${own.length === 1 ? `one (${own[0]!})` : 'none'}.`;
    const absent = own.find((name) => !found[k]!.includes(name));
    if (absent !== undefined)
      return `Nobody is in the group "${absent}" of "${by[k]!}". ${presentText(found[k]!)}`;
  }
  return null;
}

/** Values of each group, in the order of the names. */
export function valuesByGroup({ units, names }: Compared): readonly Group[] {
  return names[0]!.map((name) => ({
    name,
    values: units.filter(({ group }) => group === name).map(({ value }) => value!),
  }));
}

/** The table of counts that two columns make. */
export function countsOf({ units, names }: Compared): Counts {
  const [rows, columns] = [names[0]!, names[1]!];
  const cells = rows.map((row) =>
    columns.map((column) => units.filter(({ group, group2 }) => group === row && group2 === column).length),
  );
  return { rows, columns, cells };
}

function run(question: Question, design: Design, compared: Compared, by: readonly string[]): Answer {
  const { test, confidence } = question;
  const { units, names } = compared;
  if (design === 'counts') {
    const counts = countsOf(compared);
    return test === 'fisher' ? fisher(counts, confidence) : chiSquare(counts);
  }
  if (design === 'repeats')
    return repeatability(
      [...grouped(units, ({ participant }) => participant).values()].map((own) =>
        own.map(({ value }) => value!),
      ),
      confidence,
    );
  if (design === 'trials') {
    const people = [...grouped(units, ({ participant }) => participant).values()].map((own) =>
      own.map(({ value, group }) => ({ value: value!, group: names[0]!.indexOf(group!) })),
    );
    return mixed(people, names[0]!, confidence);
  }
  if (design === 'cells') {
    const placed = units.map(({ value, group, group2 }): Placed => ({
      value: value!,
      a: names[0]!.indexOf(group!),
      b: names[1]!.indexOf(group2!),
    }));
    return anova2(placed, [by[0]!, by[1]!], [names[0]!, names[1]!], question.squares, confidence);
  }
  if (design === 'line') {
    const [x, y] = [units.map(({ on }) => on!), units.map(({ value }) => value!)];
    if (test === 'regression') return regression(x, y, confidence);
    return test === 'pearson' ? pearson(x, y, confidence) : spearman(x, y);
  }
  const groups = valuesByGroup(compared);
  const [first, second] = groups as readonly [Group, Group];
  if (test === 'paired') return paired(first.values, second.values, confidence);
  if (test === 'wilcoxon') return wilcoxon(first.values, second.values, confidence);
  if (test === 'welch') return welch(first, second, confidence);
  if (test === 'student') return student(first, second, confidence);
  if (test === 'equivalence') return equivalence(first, second, question.margin!, confidence);
  if (test === 'mann_whitney') return mannWhitney(first, second, confidence);
  if (test === 'welch_anova') return welchAnova(groups);
  return test === 'anova' ? anova(groups, confidence) : kruskal(groups);
}
