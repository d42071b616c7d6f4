/** The uncertainty budget of one hand's force in one trial. */
import type { BudgetView } from '../../../core/contract/bench.ts';
import {
  forceBudget,
  tapUncertainty,
  TAP_OFFSET_M,
  zeroUncertainty,
  type FittedZero,
  type ForceBudget,
} from '../../../core/sensor/budget.ts';
import { zeroShiftKpa, type Calibration, type ZeroReadings } from '../../../core/sensor/calibration.ts';
import type { LabError } from '../../../core/base/refusal.ts';
import type { Hand } from '../../../core/base/hand.ts';
import { sensorWorn } from '../../../core/day/book.ts';
import { waterOf } from '../../../core/sensor/hydrostatics.ts';
import type { WaterColumn } from '../../../core/sensor/hydrostatics.ts';
import { done, failed, type Outcome } from '../../../core/base/refusal.ts';
import { areaUsed } from '../../../core/trial/input.ts';
import type { AreaUsed } from '../../../core/trial/input.ts';
import type { Session } from '../kept/session.ts';
import { choicesOn, findTrial, storedDay } from '../kept/stored.ts';

export async function viewBudget(
  session: Session,
  wish: { readonly day: number; readonly trial: string; readonly hand: Hand; readonly forceN: number },
): Promise<Outcome<BudgetView, LabError>> {
  const day = await storedDay(session, wish.day);
  if (!day.ok) return day;
  const found = findTrial(day.value, wish.trial);
  if (!found.ok) return found;
  const { book } = day.value;
  const entry = found.value;
  const sensor = sensorWorn(book.day, entry.row, wish.hand);
  const choice = sensor === null ? undefined : choicesOn(session, day.value).get(sensor);
  const area = areaUsed(entry, wish.hand);
  const budget = budgetOf(
    wish.forceN,
    sensor === null ? null : (book.calibrations.get(sensor)?.calibration ?? null),
    (sensor === null ? undefined : entry.zeros.get(sensor)) ?? { before: null, after: null },
    area,
    waterOf(book.day.pool),
    book.day.protocol.accept.maxZeroShiftKpa,
  );
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

/** The budget, or why there is none. */
function budgetOf(
  forceN: number,
  calibration: Calibration | null,
  zeros: ZeroReadings,
  area: AreaUsed | null,
  water: WaterColumn | null,
  zeroLimitKpa: number | null,
): Outcome<ForceBudget, string> {
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
  const zeroUKpa = zeroUncertainty(zeroShiftKpa(zeros, calibration), zeroLimitKpa);
  if (zeroUKpa === null)
    return failed(
      'How far the zero moved is not known: it was not read before and after the trial, and the protocol has no limit for its shift. Read the zero twice, or give protocol.accept.max_zero_shift_kpa.',
    );
  const budget = forceBudget({
    forceN,
    areaCm2: area.cm2,
    areaUCm2: area.uCm2,
    sensitivity,
    sensitivityFitU: sensitivityU,
    referenceScale: 0,
    residualSdKpa,
    calibrationDegreesOfFreedom: line.n - 2,
    zeroUKpa,
    fittedZero: zeros.before === null && zeros.after === null ? fittedZero(calibration) : null,
    tapUKpa: tapUncertainty(TAP_OFFSET_M, water),
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
