/**
 * Who is compared with what: which trials a question keeps, what unit stands for a participant, who is in which group,
 * and who is left out and why. Contract: formats.md section 4, keep, unit, groups, n and left_out.
 */
import { failed, done, type Outcome } from '../base/refusal.ts';
import { meanOf } from './moments.ts';
import type { Keep, Question } from './plan.ts';
import {
  byCodePoint,
  cellOfTrial,
  groupColumn,
  grouped,
  type GroupColumn,
  type Study,
  type StudyTrial,
  type ValueOf,
} from './study.ts';

/** One value that is compared, and the trials it came from. */
export interface Unit {
  readonly participant: string;
  /** Empty where the unit is a mean over trials. */
  readonly day: string;
  readonly trial: string;
  readonly group: string | null;
  readonly group2: string | null;
  readonly value: number | null;
  readonly on: number | null;
  readonly trials: readonly StudyTrial[];
}

export type LeftReason = 'no_value' | 'no_group' | 'no_pair' | 'no_second_trial';

/** Counts of those left out, by reason. */
export class LeftOut {
  private readonly counts = new Map<LeftReason, number>();

  add(reason: LeftReason): void {
    this.counts.set(reason, (this.counts.get(reason) ?? 0) + 1);
  }

  get total(): number {
    return [...this.counts.values()].reduce((sum, count) => sum + count, 0);
  }

  get notes(): readonly string[] {
    return [...this.counts]
      .toSorted(([a], [b]) => (a < b ? -1 : 1))
      .map(([reason, count]) => `${reason}: ${count}`);
  }
}

const DEFAULT_STATUS: readonly string[] = ['accepted', 'recorded'];

/** The trials that a question keeps; the failure is a sentence. */
export function keptTrials(study: Study, keep: Keep): Outcome<readonly StudyTrial[], string> {
  const status: readonly string[] = keep.status ?? DEFAULT_STATUS;
  const rules: ((trial: StudyTrial) => boolean)[] = [
    (trial) => status.includes(cellOfTrial(study, trial, 'status') || 'recorded'),
  ];
  if (keep.check !== undefined) {
    const check: readonly string[] = keep.check;
    rules.push((trial) => check.includes(cellOfTrial(study, trial, 'check')));
  }
  for (const [name, values] of Object.entries(keep.where ?? {})) {
    const column = groupColumn(study, name);
    if (!column.ok) return failed(`keep.where: ${column.error}`);
    rules.push((trial) => values.includes(column.value.of(trial) ?? ''));
  }
  return done(study.trials.filter((trial) => rules.every((rule) => rule(trial))));
}

/** What a question reads of each trial. */
export interface Readers {
  readonly outcome: ValueOf | null;
  readonly on: ValueOf | null;
  /** What the best trial is chosen by; null where the unit is no best trial. */
  readonly best: ValueOf | null;
}

interface Valued {
  readonly trial: StudyTrial;
  readonly value: number | null;
  readonly on: number | null;
}

/** The trials that carry every value the question asks for. */
function valuedOf(trials: readonly StudyTrial[], { outcome, on }: Readers): readonly Valued[] {
  return trials
    .map((trial) => ({ trial, value: outcome?.(trial) ?? null, on: on?.(trial) ?? null }))
    .filter(
      ({ value, on: other }) => (outcome === null || value !== null) && (on === null || other !== null),
    );
}

/** Mean of a participant's trials, or their best one; null without a trial that has the values. */
function unitOf(
  participant: string,
  trials: readonly StudyTrial[],
  question: Question,
  readers: Readers,
): Omit<Unit, 'group' | 'group2'> | null {
  const valued = valuedOf(trials, readers);
  if (readers.best === null) {
    if (valued.length === 0) return null;
    const mean = (values: readonly (number | null)[]) =>
      values[0] == null ? null : meanOf(values as readonly number[]);
    return {
      participant,
      day: '',
      trial: '',
      value: mean(valued.map(({ value }) => value)),
      on: mean(valued.map(({ on }) => on)),
      trials: valued.map(({ trial }) => trial),
    };
  }
  const { best } = readers;
  const isHighest = question.best?.highest !== false;
  let chosen: Valued | null = null;
  let top = 0;
  for (const one of valued) {
    const rank = best(one.trial);
    if (rank === null) continue;
    // Of equals the first stays.
    if (chosen === null || (isHighest ? rank > top : rank < top)) [chosen, top] = [one, rank];
  }
  if (chosen === null) return null;
  const { trial, value, on } = chosen;
  return { participant, day: trial.day, trial: trial.trial, value, on, trials: [trial] };
}

/** The participants with a kept trial, by code point, each with their kept trials by day and row. */
export function swimmersOf(
  kept: readonly StudyTrial[],
): readonly (readonly [string, readonly StudyTrial[]])[] {
  return [...grouped(kept, ({ participant }) => participant)].sort(([a], [b]) => byCodePoint(a, b));
}

/** The most frequent value; null on a tie and where there is none. */
function commonest(values: readonly (string | null)[]): string | null {
  const counts = new Map<string, number>();
  for (const value of values) if (value !== null) counts.set(value, (counts.get(value) ?? 0) + 1);
  let [best, most, isTied]: [string | null, number, boolean] = [null, 0, false];
  for (const [value, count] of counts) {
    if (count === most) isTied = true;
    if (count > most) [best, most, isTied] = [value, count, false];
  }
  return isTied ? null : best;
}

/** The group of a participant in a column. */
function groupOf(
  column: GroupColumn,
  trials: readonly StudyTrial[],
  best: StudyTrial | null,
  isBest: boolean,
): string | null {
  if (!column.isOfTrials) return column.of(trials[0]!);
  if (isBest) return best === null ? null : column.of(best);
  return commonest(trials.map(column.of));
}

/** Groups in the order that the plan names them, or all by code point; the failure is a sentence. */
export function namesOf(
  named: readonly string[] | undefined,
  found: Iterable<string | null>,
): Outcome<readonly string[], string> {
  const all = [...new Set([...found].filter((value) => value !== null))].sort(byCodePoint);
  if (named === undefined) return done(all);
  const twice = named.find((name, k) => named.indexOf(name) !== k);
  if (twice !== undefined) return failed(`The group "${twice}" is named twice.`);
  return done(named);
}

/** Says which values there are where a named group has nobody. */
export function presentText(found: Iterable<string | null>): string {
  const all = [...new Set([...found].filter((value) => value !== null))].sort(byCodePoint);
  return all.length === 0
    ? 'No swimmer has a value there.'
    : `The values there are: ${all.slice(0, 12).join(', ')}.`;
}

export interface Compared {
  readonly units: readonly Unit[];
  readonly leftOut: LeftOut;
  /** Names of the groups of the first column, and of the second. */
  readonly names: readonly (readonly string[])[];
  /** Values of the columns that are there, named or not. */
  readonly found: readonly (readonly (string | null)[])[];
}

type NamedGroups = readonly (readonly string[] | undefined)[];

/** Units of participants, in no group, one, or one of each of two columns. */
export function participantUnits(
  kept: readonly StudyTrial[],
  question: Question,
  readers: Readers,
  columns: readonly GroupColumn[],
  named: NamedGroups,
): Outcome<Compared, string> {
  const isBest = readers.best !== null;
  const swimmers = swimmersOf(kept).map(([participant, trials]) => {
    const unit = unitOf(participant, trials, question, readers);
    const groups = columns.map((column) => groupOf(column, trials, unit?.trials[0] ?? null, isBest));
    return { unit, groups };
  });
  const found = columns.map((_, k) => swimmers.map(({ groups }) => groups[k]!));
  const names: (readonly string[])[] = [];
  for (const [k] of columns.entries()) {
    const own = namesOf(named[k], found[k]!);
    if (!own.ok) return own;
    names.push(own.value);
  }
  const leftOut = new LeftOut();
  const units: Unit[] = [];
  for (const { unit, groups } of swimmers) {
    if (groups.some((group, k) => group !== null && !names[k]!.includes(group))) continue;
    // A best trial that is not there has no group for that reason alone.
    if (unit === null) leftOut.add(groups.includes(null) && !isBest ? 'no_group' : 'no_value');
    else if (groups.includes(null)) leftOut.add('no_group');
    else units.push({ ...unit, group: groups[0] ?? null, group2: groups[1] ?? null });
  }
  return done({ units, leftOut, names, found });
}

/** Pairs: each participant's unit under two groups that their trials are in. Two units of one participant follow each other. */
export function pairUnits(
  kept: readonly StudyTrial[],
  question: Question,
  readers: Readers,
  column: GroupColumn,
  named: NamedGroups,
): Outcome<Compared, string> {
  const found = [kept.map(column.of)];
  const own = namesOf(named[0], found[0]!);
  if (!own.ok) return own;
  const names = own.value;
  const leftOut = new LeftOut();
  const units: Unit[] = [];
  for (const [participant, trials] of swimmersOf(kept)) {
    const groups = trials.map(column.of);
    const under = names.map((name) => trials.filter((_, k) => groups[k] === name));
    const both = under.map((some) => unitOf(participant, some, question, readers));
    if (under.every((some) => some.length === 0)) {
      if (groups.includes(null)) leftOut.add('no_group');
    } else if (both.every((unit) => unit !== null))
      both.forEach((unit, k) => units.push({ ...unit!, group: names[k]!, group2: null }));
    else leftOut.add(under.some((some) => some.length === 0) ? 'no_pair' : 'no_value');
  }
  return done({ units, leftOut, names: [names], found });
}

/** Trials as units, each in its own group; without a column in none. */
export function trialUnits(
  kept: readonly StudyTrial[],
  readers: Readers,
  column: GroupColumn | null,
  named: NamedGroups,
): Outcome<Compared, string> {
  const found = column === null ? [] : [kept.map(column.of)];
  const own = column === null ? done([]) : namesOf(named[0], found[0]!);
  if (!own.ok) return own;
  const leftOut = new LeftOut();
  const units: Unit[] = [];
  for (const trial of kept) {
    const group = column?.of(trial) ?? null;
    if (group !== null && !own.value.includes(group)) continue;
    const value = readers.outcome!(trial);
    if (column !== null && group === null) leftOut.add('no_group');
    else if (value === null) leftOut.add('no_value');
    else
      units.push({
        participant: trial.participant,
        day: trial.day,
        trial: trial.trial,
        group,
        group2: null,
        value,
        on: null,
        trials: [trial],
      });
  }
  return done({ units, leftOut, names: column === null ? [] : [own.value], found });
}

/** Repeated trials: those of participants with two or more, by participant, then by day, attempt and trial. */
export function repeatedUnits(
  study: Study,
  kept: readonly StudyTrial[],
  readers: Readers,
): Outcome<Compared, string> {
  const all = trialUnits(kept, readers, null, []);
  if (!all.ok) return all;
  const { leftOut } = all.value;
  const attempt = (unit: Unit) => {
    const text = cellOfTrial(study, unit.trials[0]!, 'attempt');
    return text === '' ? Infinity : Number(text);
  };
  const units: Unit[] = [];
  for (const [, own] of [...grouped(all.value.units, ({ participant }) => participant)].sort(([a], [b]) =>
    byCodePoint(a, b),
  )) {
    if (own.length < 2) leftOut.add('no_second_trial');
    else
      for (const unit of own.toSorted(
        (a, b) =>
          byCodePoint(a.day, b.day) ||
          (attempt(a) === attempt(b) ? 0 : attempt(a) - attempt(b)) ||
          byCodePoint(a.trial, b.trial),
      ))
        units.push(unit);
  }
  return done({ units, leftOut, names: [], found: [] });
}
