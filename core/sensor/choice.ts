/**
 * Which calibration a trial uses, by a rule that can be seen and said:
 * `day`: the one of the trial's own day folder, whatever its verdict, so that the numbers are those of formats.md;
 * `latest`: the last accepted one before the trial;
 * `interpolated`: between the last accepted before the trial's day and the first accepted after it, straight in time.
 */

export const CALIBRATION_RULES = ['day', 'latest', 'interpolated'] as const;

export type CalibrationRule = (typeof CALIBRATION_RULES)[number];

/** What a force needs of a calibration; raw, raw/kPa and kPa. Uncertainties are standard, null where not known. */
export interface CalibrationLine {
  readonly interceptRaw: number;
  readonly interceptU: number | null;
  readonly sensitivityRawPerKpa: number;
  readonly sensitivityU: number | null;
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

const WORDS = { accepted: 'accepted', remark: 'accepted with a remark', rejected: 'rejected by the limits' };

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
  const says = `The calibration of the day folder itself (${own.label}), ${WORDS[own.verdict]}.`;
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
  const says = `The latest accepted calibration before the trial (${last.label}), ${WORDS[last.verdict]}.`;
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
  const between = (name: keyof CalibrationLine) => {
    const [a, b] = [before[name], after[name]];
    return a === null || b === null ? null : a + part * (b - a);
  };
  const line = {
    interceptRaw: between('interceptRaw')!,
    interceptU: between('interceptU'),
    sensitivityRawPerKpa: between('sensitivityRawPerKpa')!,
    sensitivityU: between('sensitivityU'),
    residualSdKpa: between('residualSdKpa'),
  };
  const says = `Straight in time between the last accepted calibration before the day (${before.label}) and the first after it (${after.label}), ${Math.round(100 * part)} % of the way.`;
  return { rule: 'interpolated', from: [before.id, after.id], line, says };
}

function lineOf(candidate: CalibrationCandidate): CalibrationLine {
  const { interceptRaw, interceptU, sensitivityRawPerKpa, sensitivityU, residualSdKpa } = candidate;
  return { interceptRaw, interceptU, sensitivityRawPerKpa, sensitivityU, residualSdKpa };
}
