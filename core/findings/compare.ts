/** Answers a plan: rows of tests.csv, groups.csv, units.csv and what could not be answered. formats.md section 4. */
import type { Refusal } from '../base/refusal.ts';
import { adjusted } from './adjust.ts';
import { ask, countsOf, designOf, type Answered, type TextColumns } from './ask.ts';
import { basisSays } from './basis.ts';
import { countOnly, summarise, type GroupSummary } from './groups.ts';
import { isFaulty, type Plan } from './plan.ts';
import { sharedPart, unsharedNotes } from './sharing.ts';
import type { Study } from './study.ts';
import type { Term } from './term.ts';
import type { Unit } from './units.ts';

/** A row of tests.csv. */
export interface TestRow {
  readonly answered: Answered;
  readonly term: Term;
  readonly n: number;
  readonly leftOut: number;
  readonly pAdjusted: number | null;
  readonly sharedU: number | null;
  readonly notes: readonly string[];
}

/** A question with its rows, its groups and its units. */
export interface Finding {
  readonly answered: Answered;
  readonly rows: readonly TestRow[];
  readonly groups: readonly GroupSummary[];
  /** Where trials are put together whose propulsion was not marked alike, a sentence on it; else null. */
  readonly basisSays: string | null;
}

export interface Results {
  readonly findings: readonly Finding[];
  readonly refused: readonly Refusal[];
}

/** Terms that are not compared with anything: no family of p values, nothing shared. */
const INTERCEPT = 'intercept';

/** Terms without a unit, which nothing in proportion moves. */
const PURE = /^icc_/;

/**
 * Answers every question that can be answered.
 * @param planFile the plan's name, for refusals
 */
export function comparePlan(study: Study, plan: Plan, planFile: string, texts: TextColumns): Results {
  const refused: Refusal[] = [];
  const answers: Answered[] = [];
  for (const question of plan.questions) {
    const answer = isFaulty(question) ? null : ask(study, question, texts);
    const says = isFaulty(question) ? question.says : answer !== null && !answer.ok ? answer.error : null;
    if (says !== null)
      refused.push({ file: planFile, line: null, field: null, reason: `${question.id}: ${says}` });
    else if (answer !== null && answer.ok) answers.push(answer.value);
  }
  const adjustedOf = familyP(answers, plan);
  const findings = answers.map((answered): Finding => {
    const rows = answered.terms.map((term) => rowOf(study, answered, term, adjustedOf.get(term) ?? null));
    const { question, compared } = answered;
    const columns = [question.outcome, question.on].filter((column) => column !== undefined);
    const says = basisSays(study, columns, compared.units);
    return { answered, rows, groups: groupRows(answered), basisSays: says };
  });
  return { findings, refused };
}

/** Adjusted p of each term: the family is all rows of one kind that have a p, intercepts apart. */
function familyP(answers: readonly Answered[], plan: Plan): ReadonlyMap<Term, number> {
  const result = new Map<Term, number>();
  for (const kind of ['planned', 'exploratory'] as const) {
    const family = answers
      .filter(({ question }) => question.kind === kind)
      .flatMap(({ terms }) => terms.filter(({ term, p }) => p !== null && term !== INTERCEPT));
    const p = adjusted(
      family.map((term) => term.p!),
      plan.adjust,
    );
    family.forEach((term, k) => result.set(term, p[k]!));
  }
  return result;
}

function rowOf(study: Study, answered: Answered, term: Term, pAdjusted: number | null): TestRow {
  const { question, compared } = answered;
  const { units, leftOut } = compared;
  const design = designOf(question.test);
  const hasShare = term.estimate !== null && term.term !== INTERCEPT && !PURE.test(term.term);
  const part = hasShare && question.outcome !== undefined ? sharedPart(study, question.outcome, units) : null;
  const n = term.n ?? (design === 'pairs' ? units.length / 2 : units.length);
  return {
    answered,
    term,
    n,
    leftOut: leftOut.total,
    pAdjusted,
    sharedU: part === null ? null : Math.abs(term.estimate!) * part,
    notes: [...leftOut.notes, ...differences(study, answered, term), ...term.notes],
  };
}

/** What the groups of a row do not share; nothing for rows that compare no groups. */
function differences(
  study: Study,
  { question, compared, by }: Answered,
  { term, p }: Term,
): readonly string[] {
  if (question.outcome === undefined || by.length === 0 || p === null || term === INTERCEPT) return [];
  const ofCell = ({ group, group2 }: Unit) => `${group}:${group2}`;
  const groupOf =
    by.length === 1 || term === by[0]
      ? ({ group }: Unit) => group!
      : term === by[1]
        ? ({ group2 }: Unit) => group2!
        : ofCell;
  return unsharedNotes(study, question.outcome, compared.units, groupOf);
}

function groupRows({ question, compared }: Answered): readonly GroupSummary[] {
  const { units, names } = compared;
  const design = designOf(question.test);
  const values = (own: readonly Unit[]) => own.map(({ value }) => value!);
  const confidence = design === 'trials' || design === 'repeats' ? null : question.confidence;
  if (names.length === 0) return [summarise('', values(units), confidence)];
  if (design === 'counts') {
    const { rows, columns, cells } = countsOf(compared);
    return rows.flatMap((row, i) => columns.map((column, j) => countOnly(`${row}:${column}`, cells[i]![j]!)));
  }
  if (names.length === 1)
    return names[0]!.map((name) =>
      summarise(name, values(units.filter(({ group }) => group === name)), confidence),
    );
  return names[0]!.flatMap((a) =>
    names[1]!.map((b) =>
      summarise(
        `${a}:${b}`,
        values(units.filter(({ group, group2 }) => group === a && group2 === b)),
        confidence,
      ),
    ),
  );
}
