/** The uncertainty budget of one hand's force in one trial. */
import type { BudgetView } from '../../../core/contract/bench.ts';
import { forceBudget, TAP_DEPTH_M, type BudgetZero, type ForceBudget } from '../../../core/sensor/budget.ts';
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
): Outcome<ForceBudget, string> {
  if (calibration === null)
    return failed('There is no calibration, so there is no force to give a budget for.');
  if (area === null)
    return failed('The area of this hand is not known; trace it, type it, or add it to roster.csv.');
  if (area.uCm2 === null)
    return failed(
      'The uncertainty of the hand area is not known; add hand_area_u_cm2 to roster.csv, or trace the hand at least twice.',
    );
  if (water === null)
    return failed(
      'The depth of the taps gives a pressure only with pool.water_temperature_c (0 to 40) and pool.latitude_deg in day.json; add them and open the day again.',
    );
  const { sensitivityRawPerKpa: sensitivity, sensitivityU, residualSdKpa, line } = calibration;
  if (sensitivityU === null || residualSdKpa === null)
    return failed(
      'The calibration has fewer than three points, so its scatter is not known; calibrate with more.',
    );
  const zero = zeroOf(calibration, zeros, residualSdKpa);
  const budget =
    zero &&
    forceBudget({
      forceN,
      areaCm2: area.cm2,
      areaUCm2: area.uCm2,
      sensitivity,
      sensitivityU,
      residualSdKpa,
      calibrationDegreesOfFreedom: line.n - 2,
      zero,
      tapDepthM: TAP_DEPTH_M,
      water,
    });
  return budget === null
    ? failed(
        'The calibration leaves no degree of freedom, so its scatter is not known; calibrate with more points.',
      )
    : done(budget);
}

/** The zero of the trial; one reading is taken to be as uncertain as one reading of the calibration. */
function zeroOf(calibration: Calibration, zeros: ZeroReadings, residualSdKpa: number): BudgetZero | null {
  if (zeros.before !== null || zeros.after !== null)
    return { kind: 'readings', uKpa: residualSdKpa, shiftKpa: zeroShiftKpa(zeros, calibration) };
  const { interceptU, correlation } = calibration.line;
  if (interceptU === null || correlation === null) return null;
  return { kind: 'calibration', uKpa: interceptU / Math.abs(calibration.sensitivityRawPerKpa), correlation };
}
