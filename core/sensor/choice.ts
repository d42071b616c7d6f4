/**
 * Which calibration a trial uses, by a rule that can be seen and said:
 * `day`: the one of the trial's own day folder, whatever its verdict, so that the numbers are those of formats.md;
 * `latest`: the last accepted one before the trial;
 * `interpolated`: between the last accepted before the trial's day and the first accepted after it, straight in time.
 */
import { CALIBRATION_WORDS } from './words.ts';

import { rootSumSquares } from '../base/uncertainty.ts';
import { figures } from '../base/words.ts';

export const CALIBRATION_RULES = ['day', 'latest', 'interpolated'] as const;

export type CalibrationRule = (typeof CALIBRATION_RULES)[number];

/** What a force needs of a calibration; raw, raw/kPa and kPa. Uncertainties are standard, null where not known. */
export interface CalibrationLine {
  readonly interceptRaw: number;
  readonly interceptU: number | null;
  readonly sensitivityRawPerKpa: number;
  readonly sensitivityU: number | null;
  /** The part of `sensitivityU` that is the scale of the reference, raw/kPa; calibrations against it share it. */
  readonly referenceU: number;
  readonly residualSdKpa: number | null;
}

/** A calibration of the sensor that could be used. */
export interface CalibrationCandidate extends CalibrationLine {
  readonly id: string;
  /** How it is called in a sentence, such as its date and time. */
  readonly label: string;
  /** Moment, ms since 1970-01-01 UTC. */
  readonly atMs: number;
  readonly verdict: 'accepted' | 'remark' | 'rejected';
  /** Code of the day folder it came with; null for one made at the bench. */
  readonly day: string | null;
}

/** The trial that asks; moments in ms since 1970-01-01 UTC. */
export interface TrialMoment {
  readonly day: string;
  readonly dayStartMs: number;
  readonly dayEndMs: number;
  readonly atMs: number;
}

export interface ChosenCalibration {
  readonly rule: CalibrationRule;
  /** Ids of the one or two calibrations used; empty where there is none. */
  readonly from: readonly string[];
  /** Null where the rule finds none; `says` then gives the reason. */
  readonly line: CalibrationLine | null;
  /** One sentence: what was chosen and why, or why nothing was. */
  readonly says: string;
}

/**
 * Chooses the calibration of a trial.
 * @param candidates of the trial's sensor, in any order; only accepted ones, with or without remark, are used by
 * `latest` and `interpolated`
 */
export function chooseCalibration(
  rule: CalibrationRule,
  trial: TrialMoment,
  candidates: readonly CalibrationCandidate[],
): ChosenCalibration {
  if (rule === 'day') return ofDay(trial, candidates);
  const accepted = candidates
    .filter(({ verdict }) => verdict !== 'rejected')
    .toSorted((a, b) => a.atMs - b.atMs);
  return rule === 'latest' ? latest(trial, accepted) : interpolated(trial, accepted);
}

function none(rule: CalibrationRule, says: string): ChosenCalibration {
  return { rule, from: [], line: null, says };
}

function lowerCase(verdict: CalibrationCandidate['verdict']): string {
  return CALIBRATION_WORDS[verdict].says.toLowerCase();
}

function ofDay(trial: TrialMoment, candidates: readonly CalibrationCandidate[]): ChosenCalibration {
  const own = candidates
    .filter(({ day }) => day === trial.day)
    .toSorted((a, b) => a.atMs - b.atMs)
    .at(-1);
  if (own === undefined)
    return none(
      'day',
      `Day ${trial.day} has no calibration of this sensor; calibrate it, or choose another rule.`,
    );
  const says = `The calibration of the day folder itself (${own.label}), ${lowerCase(own.verdict)}.`;
  return { rule: 'day', from: [own.id], line: lineOf(own), says };
}

function latest(trial: TrialMoment, accepted: readonly CalibrationCandidate[]): ChosenCalibration {
  const last = accepted.findLast(({ atMs }) => atMs <= trial.atMs);
  if (last === undefined)
    return none(
      'latest',
      accepted.length === 0
        ? 'This sensor has no accepted calibration; calibrate it.'
        : `The first accepted calibration of this sensor (${accepted[0]!.label}) is later than the trial; choose another rule or calibrate before the day.`,
    );
  const says = `The latest accepted calibration before the trial (${last.label}), ${lowerCase(last.verdict)}.`;
  return { rule: 'latest', from: [last.id], line: lineOf(last), says };
}

function interpolated(trial: TrialMoment, accepted: readonly CalibrationCandidate[]): ChosenCalibration {
  const before = accepted.findLast(({ atMs }) => atMs < trial.dayStartMs);
  const after = accepted.find(({ atMs }) => atMs > trial.dayEndMs);
  if (before === undefined || after === undefined) {
    const missing =
      before === undefined && after === undefined
        ? 'before or after'
        : before === undefined
          ? 'before'
          : 'after';
    return none(
      'interpolated',
      `There is no accepted calibration ${missing} day ${trial.day}, so nothing can be laid between; calibrate the sensor or choose another rule.`,
    );
  }
  const part = (trial.atMs - before.atMs) / (after.atMs - before.atMs);
  const { line, fitsU, pathU } = between(before, after, part);
  const pct = (u: number) => `${figures((100 * u) / Math.abs(line.sensitivityRawPerKpa), 2)} %`;
  const known =
    line.sensitivityU === null || fitsU === null
      ? 'How well the sensitivity is known is not known, for one of them does not say.'
      : `Its sensitivity is known to ${pct(line.sensitivityU)} (standard uncertainty): ${pct(fitsU)} from the two calibrations, and ${pct(pathU)} because the way from one to the other is not known.`;
  const says = `Straight in time between the last accepted calibration before the day (${before.label}) and the first after it (${after.label}), ${Math.round(100 * part)} % of the way. ${known}`;
  return { rule: 'interpolated', from: [before.id, after.id], line, says };
}

/**
 * The line between two calibrations, straight in time, and its standard uncertainty.
 * The fits are independent and weigh as they do in the mean; the scale of one reference is shared by both and does not
 * average. How the sensor went from one to the other is not known: halfway it may lie anywhere between the two, which
 * is |Δ|/(2√3) (rectangular, JCGM 100 4.3.7), and it is tied down at both ends, as a random walk between them is:
 * |Δ|·√(p(1 − p))/√3.
 * @param part p, 0…1
 */
function between(first: CalibrationLine, second: CalibrationLine, part: number) {
  const mixed = (a: number, b: number) => a + part * (b - a);
  const path = (a: number, b: number) => Math.abs(b - a) * Math.sqrt((part * (1 - part)) / 3);
  const weighed = (a: number | null, b: number | null) =>
    rootSumSquares([a === null ? null : (1 - part) * a, b === null ? null : part * b]);
  const referenceU = mixed(first.referenceU, second.referenceU);
  const fits = weighed(fitU(first), fitU(second));
  const fitsU = rootSumSquares([fits, referenceU]);
  const pathU = path(first.sensitivityRawPerKpa, second.sensitivityRawPerKpa);
  const { residualSdKpa: sd1 } = first;
  const { residualSdKpa: sd2 } = second;
  const line: CalibrationLine = {
    interceptRaw: mixed(first.interceptRaw, second.interceptRaw),
    interceptU: rootSumSquares([
      weighed(first.interceptU, second.interceptU),
      path(first.interceptRaw, second.interceptRaw),
    ]),
    sensitivityRawPerKpa: mixed(first.sensitivityRawPerKpa, second.sensitivityRawPerKpa),
    sensitivityU: rootSumSquares([fitsU, pathU]),
    referenceU,
    residualSdKpa: sd1 === null || sd2 === null ? null : mixed(sd1, sd2),
  };
  return { line, fitsU, pathU };
}

function fitU({ sensitivityU, referenceU }: CalibrationLine): number | null {
  return sensitivityU === null ? null : Math.sqrt(Math.max(0, sensitivityU ** 2 - referenceU ** 2));
}

function lineOf(candidate: CalibrationCandidate): CalibrationLine {
  const { interceptRaw, interceptU, sensitivityRawPerKpa, sensitivityU, referenceU, residualSdKpa } =
    candidate;
  return { interceptRaw, interceptU, sensitivityRawPerKpa, sensitivityU, referenceU, residualSdKpa };
}
