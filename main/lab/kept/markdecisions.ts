/** What people decided on the marking of a day's trials, as it stands in the day's log. */
import type { MarkingOverlay, Rater } from '../../../core/marking/overlay.ts';
import type { JudgementRow, MarkRow, PairRow, SectionWord } from '../../../core/marking/words.ts';
import type { Decision } from '../../store/decisions.ts';
import {
  JUDGEMENTS_SHAPE,
  MARKS_SHAPE,
  PAIRS_SHAPE,
  REPORTED_SHAPE,
  SECTION_SHAPE,
} from '../shapes/marking.ts';
import type { Shape } from '../shapes/shape.ts';
import { opinionsOn } from './blindsessions.ts';
import { readDecided } from './readdecided.ts';
import type { Session } from './session.ts';

/** Subjects of a day's decisions. Their key is the trial's code, followed by a space and the rater where it is one's own. */
export const MARKS = 'marks';
export const JUDGEMENTS = 'judgements';
export const PAIRS = 'pairs';
export const SECTION = 'section';
export const REPORTED = 'reported_rater';

/** Section times as decided: null inside says that there are none. */
export interface SectionDecision {
  readonly section: SectionWord | null;
}

/** The rater whose marks are reported, and why. */
export interface ReportedDecision {
  readonly rater: Rater;
  readonly reason: string;
}

/** What a person decided on whose marks of a trial are reported; null where nobody did. */
export function reportedOn({ store }: Session, day: number, trial: string): ReportedDecision | null {
  return readDecided(REPORTED_SHAPE, store.inForce(day).get(REPORTED)?.get(trial), null);
}

export function raterKey(trial: string, rater: Rater): string {
  return `${trial} ${rater ?? ''}`;
}

export function markingDecidedOn(session: Session, day: number): MarkingOverlay {
  const decisions = session.store.inForce(day);
  const standing = <T>(subject: string, shape: Shape<T>): readonly (readonly [string, T])[] =>
    [...(decisions.get(subject) ?? new Map<string, Decision>())].map(
      ([key, decision]) => [key, readDecided(shape, decision)] as const,
    );
  const byRater = <T>(subject: string, shape: Shape<T>) => {
    const trials = new Map<string, Map<Rater, T>>();
    for (const [key, after] of standing(subject, shape)) {
      const [trial = '', rater = ''] = key.split(' ');
      const raters = trials.get(trial) ?? new Map<Rater, T>();
      trials.set(trial, raters.set(rater === '' ? null : rater, after));
    }
    return trials;
  };
  return {
    marks: byRater<readonly MarkRow[]>(MARKS, MARKS_SHAPE),
    judgements: byRater<readonly JudgementRow[]>(JUDGEMENTS, JUDGEMENTS_SHAPE),
    pairs: new Map<string, readonly PairRow[]>(standing(PAIRS, PAIRS_SHAPE)),
    sections: new Map(
      standing<SectionDecision>(SECTION, SECTION_SHAPE).map(
        ([trial, { section }]) => [trial, section] as const,
      ),
    ),
    reported: new Map(
      standing<ReportedDecision>(REPORTED, REPORTED_SHAPE).map(
        ([trial, { rater }]) => [trial, rater] as const,
      ),
    ),
    opinions: opinionsOn(session, day),
  };
}
