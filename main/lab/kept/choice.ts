/** Which calibration each sensor of a day uses, by a rule that a person chooses, and what another would change. */
import {
  chooseCalibration,
  type CalibrationCandidate,
  type CalibrationLine,
  type CalibrationRule,
  type ChosenCalibration,
} from '../../../core/sensor/choice.ts';
import type { CalibrationVerdict } from '../../../core/sensor/calibration.ts';
import type { Day } from '../../../core/day/day.ts';
import type { Daybook } from '../../../core/day/book.ts';
import { calibrationFrom } from '../../../core/day/overlay.ts';
import type { SensorCalibration } from '../../../core/day/sensors.ts';
import type { CalibrationAssessment } from '../../../core/sensor/metrology.ts';
import { KeptFault } from '../shapes/shape.ts';
import { acceptedOf, type Register, type RegisteredCalibration } from './register.ts';

export interface SensorChoice {
  readonly sensor: string;
  /** One sentence: what is used and why, or why nothing is. */
  readonly says: string;
  readonly from: readonly string[];
  readonly verdict: CalibrationVerdict;
  readonly used: SensorCalibration;
}

/**
 * The choice for every sensor of a day.
 * @param book the day as its folder gives it, before any overlay
 */
export function chooseFor(
  register: Register,
  book: Pick<Daybook, 'day' | 'calibrations'>,
  rule: CalibrationRule,
): ReadonlyMap<string, SensorChoice> {
  return new Map(
    [...book.calibrations].map(([sensor, own]) => [
      sensor,
      rule === 'day' ? ownChoice(register, book.day, own) : choice(register, book.day, own, rule),
    ]),
  );
}

/** The folder's own, with the numbers of formats.md; the verdict is the register's where it has the calibration. */
function ownChoice(register: Register, { day, date }: Day, used: SensorCalibration): SensorChoice {
  const { sensor } = used.sensor;
  const { calibration, points } = used;
  const known = (register.calibrations.get(sensor) ?? []).find(
    ({ current, origin }) => current && origin.kind === 'day' && origin.day === day,
  );
  const from = known === undefined ? [] : [String(known.id)];
  if (calibration === null && points.length > 0)
    return {
      sensor,
      says: 'The calibration of the day folder itself cannot be fitted: it needs two different pressures and a raw value that changes with them.',
      from,
      verdict: used.verdict,
      used,
    };
  const verdict = known?.verdict?.verdict ?? used.verdict;
  const candidate: CalibrationCandidate[] =
    calibration === null
      ? []
      : [
          {
            id: from[0] ?? '',
            label: date ?? 'calibration.csv',
            atMs: 0,
            day,
            verdict: verdict === 'accepted' || verdict === 'remark' ? verdict : 'rejected',
            interceptRaw: calibration.interceptRaw,
            interceptU: calibration.line.interceptU,
            sensitivityRawPerKpa: calibration.sensitivityRawPerKpa,
            sensitivityU: calibration.sensitivityU,
            referenceU: 0,
            residualSdKpa: calibration.residualSdKpa,
          },
        ];
  const { says } = chooseCalibration('day', { day, dayStartMs: 0, dayEndMs: 0, atMs: 0 }, candidate);
  return { sensor, says, from, verdict, used };
}

function choice(
  register: Register,
  { day, date }: Day,
  own: SensorCalibration,
  rule: CalibrationRule,
): SensorChoice {
  const { sensor } = own.sensor;
  const missing = register.unreadable.get(sensor);
  if (missing !== undefined)
    throw new KeptFault(
      `The day ${day} uses calibrations of the register, and one of sensor ${sensor} cannot be read. ${missing}`,
      'Open a backup of the lab folder, or calibrate the sensor again; the days that use their own calibrations can be read.',
    );
  const accepted = acceptedOf(register, sensor);
  const chosen: ChosenCalibration =
    date === null
      ? {
          rule,
          from: [],
          line: null,
          says: `Day ${day} has no date, so nothing is before or after it; give the date in day.json, or use the day folder’s own calibration.`,
        }
      : chooseCalibration(rule, momentOf(day, date), accepted.map(toCandidate));
  const sources = accepted.filter(({ id }) => chosen.from.includes(String(id)));
  const verdict = chosen.line === null ? 'missing' : sources.some(isRemark) ? 'remark' : 'accepted';
  const calibration =
    chosen.line === null || date === null
      ? null
      : fromSources(chosen.line, sources, momentOf(day, date).atMs);
  const used: SensorCalibration = { ...own, points: [], entries: [], calibration, verdict };
  return { sensor, says: chosen.says, from: chosen.from, verdict, used };
}

/** Days give no time for a trial: all of them are taken to be at noon UTC, like the day's own calibration. */
function momentOf(day: string, date: string) {
  const dayStartMs = Date.parse(`${date}T00:00:00.000Z`);
  return { day, dayStartMs, dayEndMs: dayStartMs + 86_400_000 - 1, atMs: dayStartMs + 43_200_000 };
}

function isRemark({ verdict }: RegisteredCalibration): boolean {
  return verdict?.verdict === 'remark';
}

function toCandidate({ id, at, origin, assessment, verdict }: RegisteredCalibration): CalibrationCandidate {
  return {
    id: String(id),
    label: origin.kind === 'day' ? `day ${origin.day}, ${at.slice(0, 10)}` : `${at.slice(0, 16)}Z`,
    atMs: Date.parse(at),
    day: origin.kind === 'day' ? origin.day : null,
    verdict: verdict!.verdict,
    ...lineOf(assessment!),
  };
}

function lineOf({ zero, sensitivity, residualSd, reference }: CalibrationAssessment): CalibrationLine {
  return {
    interceptRaw: zero.value,
    interceptU: zero.u,
    sensitivityRawPerKpa: sensitivity.value,
    sensitivityU: sensitivity.u,
    referenceU: reference.scale * Math.abs(sensitivity.value),
    residualSdKpa: residualSd?.kpa ?? null,
  };
}

function fromSources(line: CalibrationLine, sources: readonly RegisteredCalibration[], atMs: number) {
  const [from, to] = [Date.parse(sources[0]!.at), Date.parse(sources.at(-1)!.at)];
  const part = to === from ? 0 : (atMs - from) / (to - from);
  return calibrationFrom(
    line,
    sources.map(({ assessment }) => assessment!),
    part,
  );
}
