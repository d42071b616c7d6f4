/** One swimmer across days, as the screen shows it. */
import { done, failed, type LabError, type Outcome } from '../../../core/base/refusal.ts';
import type { OverTimeView, PlanSource } from '../../../core/contract/plans.ts';
import { namesNobody, veiled } from '../../../core/deck/veil.ts';
import { overTimeData, overTimeFigure } from '../../../core/findings/figures/overtime.ts';
import { overTime } from '../../../core/findings/overtime.ts';
import { basisSays } from '../../../core/findings/basis.ts';
import { byCodePoint, cellOfTrial, grouped, outcomeOf } from '../../../core/findings/study.ts';
import type { Session } from '../kept/session.ts';
import { labelled, TEXTS, unitOf } from './compare.ts';
import { sourceStudy } from './planstudy.ts';

interface Wish {
  readonly source: PlanSource;
  readonly outcome: string;
  readonly participant: string | null;
}

/** Everyone in a study consents, so that their codes may be shown. */
const shown = (text: string) => veiled(namesNobody, text);

export async function viewOverTime(session: Session, wish: Wish): Promise<Outcome<OverTimeView, LabError>> {
  const read = await sourceStudy(session, wish.source);
  if (!read.ok) return read;
  const { study } = read.value;
  const of = outcomeOf(study, wish.outcome, TEXTS);
  if (!of.ok)
    return failed({ code: 'bad_input', says: of.error, todo: 'Choose a column that holds numbers.' });
  const valued = study.trials.filter((trial) => of.value(trial) !== null);
  const swimmers = [...grouped(valued, ({ participant }) => participant)]
    .sort(([a], [b]) => byCodePoint(a, b))
    .map(([participant, own]) => ({
      participant: shown(participant),
      days: new Set(own.map(({ day }) => day)).size,
    }));
  if (wish.participant === null) return done({ swimmers, says: [], svg: null, csv: shown('') });
  const dates = new Map(session.store.listDays().map(({ day, date }) => [day, date]));
  const view = overTime(study, of.value, wish.participant, dates, unitOf(wish.outcome));
  const kept = valued.filter((trial) => cellOfTrial(study, trial, 'status') !== 'excluded');
  const basis = basisSays(study, [wish.outcome], [{ trials: kept }]);
  const svg = overTimeFigure(view, `${wish.participant} over time`, labelled(wish.outcome));
  return done({
    swimmers,
    says: basis === null ? view.says : [...view.says, basis],
    svg: svg === '' ? null : shown(svg),
    csv: shown(overTimeData(view)),
  });
}
