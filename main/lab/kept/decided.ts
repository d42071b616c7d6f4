/** What people decided on a day besides its trials' status: zeros, hand areas, the rule for calibrations. */
import type { ZeroReadings } from '../../../core/sensor/calibration.ts';
import type { CalibrationRule } from '../../../core/sensor/choice.ts';
import type { Hand } from '../../../core/base/hand.ts';
import type { HandArea } from '../../../core/force/handarea.ts';
import type { Decision } from '../../store/decisions.ts';
import { AREA_SHAPE, RULE_SHAPE, ZERO_SHAPE } from '../shapes/day.ts';
import type { Shape } from '../shapes/shape.ts';
import { readDecided } from './readdecided.ts';
import type { Session } from './session.ts';

/** Subjects of decisions on trials: on one, by its code, and on several at once, by the number of the act. */
export const STATUS = 'trial.status';
export const STATUSES = 'trial.statuses';

/** Subjects of a day's decisions. Their keys are the parts they name, with a space between. */
export const ZERO = 'zero';
export const AREA = 'area';
export const RULE = 'calibration.rule';

interface DayDecisions {
  readonly rule: CalibrationRule;
  /** Confirmed zeros by trial, then sensor; null where the file's reading stands. */
  readonly zeros: ReadonlyMap<string, ReadonlyMap<string, ZeroReadings>>;
  /** Kept areas by participant; null where the roster stands. */
  readonly areas: ReadonlyMap<string, Readonly<Record<Hand, HandArea | null>>>;
}

export function zeroKey(trial: string, sensor: string, when: 'before' | 'after'): string {
  return `${trial} ${sensor} ${when}`;
}

export function areaKey(participant: string, hand: Hand): string {
  return `${participant} ${hand}`;
}

export function decidedOn({ store }: Session, day: number): DayDecisions {
  const decisions = store.inForce(day);
  const standing = <T>(subject: string, shape: Shape<T | null>) =>
    [...(decisions.get(subject) ?? new Map<string, Decision>())].flatMap(([key, decision]) => {
      const value = readDecided(shape, decision);
      return value === null ? [] : [[key.split(' '), value] as const];
    });
  const zeros = new Map<string, Map<string, ZeroReadings>>();
  for (const [[trial, sensor, when], raw] of standing(ZERO, ZERO_SHAPE)) {
    const own = zeros.get(trial!) ?? new Map<string, ZeroReadings>();
    own.set(sensor!, { before: null, after: null, ...own.get(sensor!), [when!]: raw });
    zeros.set(trial!, own);
  }
  const areas = new Map<string, Record<Hand, HandArea | null>>();
  for (const [[participant, hand], area] of standing(AREA, AREA_SHAPE))
    areas.set(participant!, {
      left: null,
      right: null,
      ...areas.get(participant!),
      [hand!]: area,
    });
  const chosen = readDecided(RULE_SHAPE, decisions.get(RULE)?.get(RULE), null);
  return { rule: chosen ?? 'day', zeros, areas };
}
