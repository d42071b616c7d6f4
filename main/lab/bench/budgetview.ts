/** The uncertainty budget of one hand's force in one trial. */
import type { BudgetView } from '../../../core/contract/bench.ts';
import { forceBudget, type FittedZero, type ForceBudget } from '../../../core/sensor/budget.ts';
import type { Calibration } from '../../../core/sensor/calibration.ts';
import type { Day } from '../../../core/day/day.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import type { Hand } from '../../../core/base/hand.ts';
import { sensorWorn } from '../../../core/day/book.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { tapUKpa } from '../../../core/force/uncertainty.ts';
import { zeroOf, zeroUOf } from '../../../core/trial/hand.ts';
import { areaUsed, handOf, type AreaUsed } from '../../../core/trial/input.ts';
import type { HandInput } from '../../../core/trial/result.ts';
import type { Session } from '../kept/session.ts';
import { choicesOn, findTrial, keptDay } from '../kept/keptday.ts';

export async function viewBudget(
  session: Session,
  wish: { readonly day: number; readonly trial: string; readonly hand: Hand; readonly forceN: number },
): Promise<Outcome<BudgetView, LabError>> {
  const day = await keptDay(session, wish.day);
  if (!day.ok) return day;
  const found = findTrial(day.value, wish.trial);
  if (!found.ok) return found;
  const { book } = day.value;
  const entry = found.value;
  const sensor = sensorWorn(book.day, entry.row, wish.hand);
  const choice = sensor === null ? undefined : choicesOn(session, day.value).get(sensor);
  const area = areaUsed(entry, wish.hand);
  const budget = budgetOf(wish.forceN, handOf(book, entry, wish.hand), area, book.day);
  const { trial, hand, forceN } = wish;
  return done({
    trial,
    hand,
    forceN,
    budget: budget.ok ? budget.value : null,
    fault: budget.ok ? null : budget.error,
    areaSays: area?.says ?? 'The area of this hand is not known.',
    calibrationSays:
      choice?.says ??
      (sensor === null
        ? 'It is not known which sensor this hand wore.'
        : `day.json has no sensor ${sensor}, so it has no calibration.`),
  });
}

/** The budget, or why there is none; its total is the uncertainty that stands beside forces everywhere. */
function budgetOf(
  forceN: number,
  about: HandInput,
  area: AreaUsed | null,
  { protocol, pool }: Day,
): Outcome<ForceBudget, string> {
  const { calibration, elsewhere } = about;
  if (elsewhere !== null)
    return failed(
      'This hand was calibrated elsewhere: its uncertainty is what was stated with it, not a budget of ours.',
    );
  if (calibration === null)
    return failed('There is no calibration, so there is no force to give a budget for.');
  if (area === null)
    return failed('The area of this hand is not known; trace it, type it, or add it to roster.csv.');
  if (area.uCm2 === null)
    return failed(
      'The uncertainty of the hand area is not known; add hand_area_u_cm2 to roster.csv, or trace the hand at least twice.',
    );
  const { sensitivityRawPerKpa: sensitivity, sensitivityU, residualSdKpa, line } = calibration;
  if (sensitivityU === null || residualSdKpa === null)
    return failed(
      'The calibration has fewer than three points, so its scatter is not known; calibrate with more.',
    );
  const zeroUKpa = zeroUOf(about, protocol.accept.maxZeroShiftKpa);
  if (zeroUKpa === null)
    return failed(
      'How far the zero moved is not known: it was not read before and after the trial, and the protocol has no limit for its shift. Read the zero twice, or give protocol.accept.max_zero_shift_kpa.',
    );
  const fitU = Math.min(sensitivityU, line.slopeU ?? sensitivityU);
  const budget = forceBudget({
    forceN,
    areaCm2: area.cm2,
    areaUCm2: area.uCm2,
    sensitivity,
    sensitivityFitU: fitU,
    referenceScale: Math.sqrt(sensitivityU ** 2 - fitU ** 2) / Math.abs(sensitivity),
    residualSdKpa,
    calibrationDegreesOfFreedom: line.n - 2,
    zeroUKpa,
    fittedZero: zeroOf(about).origin === 'calibration' ? fittedZero(calibration) : null,
    tapUKpa: tapUKpa(protocol.tapOffsetMm, pool),
  });
  return budget === null
    ? failed(
        'The calibration leaves no degree of freedom, so its scatter is not known; calibrate with more points.',
      )
    : done(budget);
}

function fittedZero({ line, sensitivityRawPerKpa }: Calibration): FittedZero | null {
  const { interceptU, correlation } = line;
  if (interceptU === null || correlation === null) return null;
  return { uKpa: interceptU / Math.abs(sensitivityRawPerKpa), correlation };
}
