/**
 * One swimmer over days, held against what chance alone makes of a swimmer's own trials. The typical error is the square
 * root of the one-way mean square within (Bland & Altman 1996, BMJ 312:1654), over trials of one swimmer, day and
 * condition; a change of two means is told from chance beyond 1.96·TE·√(1/n₁ + 1/n₂), which for single trials is
 * 1.96·√2·TE. What differs from day to day without a change of the swimmer is not in it.
 */
import { counted } from '../base/words.ts';
import { momentsOf } from './moments.ts';
import { byCodePoint, cellOfTrial, grouped, type Study, type ValueOf } from './study.ts';
import { numberText } from './words.ts';

/** Below so many swimmers with repeated trials a typical error is not known (common practice, no source). */
export const FEWEST_SWIMMERS = 10;

export interface DayPoint {
  readonly day: string;
  readonly n: number;
  readonly mean: number;
  readonly values: readonly number[];
}

/** The swimmers' own scatter. */
export interface OwnScatter {
  /** Swimmers who gave it. */
  readonly swimmers: number;
  /** In the unit of the outcome; null where too few swimmers were measured twice. */
  readonly typicalError: number | null;
}

export interface OverTime {
  readonly points: readonly DayPoint[];
  readonly scatter: OwnScatter;
  /** In plain sentences. */
  readonly says: readonly string[];
}

/** How far trials of one swimmer, day and condition lie apart, over all swimmers of the study. */
export function ownScatter(study: Study, of: ValueOf): OwnScatter {
  const valued = keptTrials(study).flatMap((trial) => {
    const value = of(trial);
    const cell = `${trial.participant} ${trial.day} ${cellOfTrial(study, trial, 'condition')}`;
    return value === null ? [] : [{ cell, participant: trial.participant, value }];
  });
  const cells = [...grouped(valued, ({ cell }) => cell).values()].filter((own) => own.length > 1);
  const swimmers = new Set(cells.map(([first]) => first!.participant)).size;
  if (swimmers < FEWEST_SWIMMERS) return { swimmers, typicalError: null };
  const squares = cells.reduce((sum, own) => sum + momentsOf(own.map(({ value }) => value)).squares, 0);
  const df = cells.reduce((sum, own) => sum + own.length - 1, 0);
  return { swimmers, typicalError: Math.sqrt(squares / df) };
}

function keptTrials(study: Study): Study['trials'] {
  return study.trials.filter((trial) => cellOfTrial(study, trial, 'status') !== 'excluded');
}

/** The smallest change of two means of so many trials that is told from chance 95 times in 100; unit of the outcome. */
export function smallestChange(typicalError: number, n1: number, n2: number): number {
  return 1.96 * typicalError * Math.sqrt(1 / n1 + 1 / n2);
}

/**
 * A swimmer's days in their order.
 * @param dates date of each day (ISO 8601), by which days are ordered; a day without one stands by its code
 * @param unit of the outcome, for sentences; empty for none
 */
export function overTime(
  study: Study,
  of: ValueOf,
  participant: string,
  dates: ReadonlyMap<string, string | null>,
  unit: string,
): OverTime {
  const own = keptTrials(study).flatMap((trial) => {
    const value = trial.participant === participant ? of(trial) : null;
    return value === null ? [] : [{ day: trial.day, value }];
  });
  const when = (day: string) => dates.get(day) ?? day;
  const points = [...grouped(own, ({ day }) => day)]
    .map(([day, list]): DayPoint => {
      const values = list.map(({ value }) => value);
      return { day, n: values.length, mean: momentsOf(values).mean, values };
    })
    .sort((a, b) => byCodePoint(when(a.day), when(b.day)));
  const scatter = ownScatter(study, of);
  return { points, scatter, says: saysOf(points, scatter, unit) };
}

function saysOf(points: readonly DayPoint[], { swimmers, typicalError }: OwnScatter, unit: string): string[] {
  const withUnit = (value: number) => `${numberText(value)}${unit === '' ? '' : ` ${unit}`}`;
  const [first, last] = [points[0], points.at(-1)];
  const unknown = `Whether a change is more than chance cannot be known here: it takes ${FEWEST_SWIMMERS} swimmers with two trials of one day and condition, and there ${swimmers === 1 ? 'is' : 'are'} ${swimmers}.`;
  if (first === undefined || last === undefined)
    return ['This swimmer has no value of it.', ...(typicalError === null ? [unknown] : [])];
  if (first === last)
    return [
      `One day alone: ${withUnit(first.mean)} over ${counted(first.n, 'trial')}. A change needs two days.`,
      ...(typicalError === null ? [unknown] : []),
    ];
  const change = last.mean - first.mean;
  const moved = `From ${first.day} to ${last.day}: ${withUnit(first.mean)} to ${withUnit(last.mean)}, a change of ${withUnit(change)}.`;
  if (typicalError === null) return [moved, unknown];
  const smallest = smallestChange(typicalError, first.n, last.n);
  const isMore = Math.abs(change) > smallest;
  return [
    moved,
    isMore
      ? `That is more than the ${withUnit(smallest)} that chance alone stays within 95 times in 100 for means of ${first.n} and ${counted(last.n, 'trial')}.`
      : `Chance alone stays within ${withUnit(smallest)} 95 times in 100 for means of ${first.n} and ${counted(last.n, 'trial')}: this change cannot be told from it.`,
    `Typical error ${withUnit(typicalError)}, from ${counted(swimmers, 'swimmer')} with repeated trials of one day; what differs from day to day is not in it. No number here shows a cause.`,
  ];
}
