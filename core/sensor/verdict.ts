/**
 * The verdict on a bench calibration: each limit that a lab sets, what was found against it, and what to do.
 * A limit on how well the sensor reads rejects where it is broken; a limit on how much was looked at (points,
 * pressures, both directions) leaves a remark, as does whatever could not be judged.
 */
import { addAll } from '../base/extent.ts';
import type { CalibrationAssessment } from './metrology.ts';
import { figures } from '../base/words.ts';
import type { BenchFinding, BenchLimitName, BenchLimits } from './limits.ts';
import { isExact, judgeExtent, RANGE_UNKNOWN, UNNAMED } from './extent.ts';

export interface BenchVerdict {
  readonly verdict: 'accepted' | 'remark' | 'rejected';
  readonly findings: readonly BenchFinding[];
}

interface Measure {
  readonly limit: Exclude<
    BenchLimitName,
    'leastPoints' | 'leastPressures' | 'leastCoveragePct' | 'upAndDown'
  >;
  readonly name: string;
  readonly unit: string;
  readonly value: (assessment: CalibrationAssessment, historyMean: number | null) => number | null;
  readonly broken: string;
  readonly unknown: string;
}

const MEASURES: readonly Measure[] = [
  {
    limit: 'nonlinearityPctFs',
    name: 'The non-linearity',
    unit: '% of full scale',
    value: (assessment) => assessment.nonlinearityPctFs,
    broken:
      'Look for one point that lies off; if the curve is smooth, use the sensor over a smaller range or rest it.',
    unknown: `It needs three pressures and the sensor’s range.`,
  },
  {
    limit: 'hysteresisPctFs',
    name: 'The hysteresis',
    unit: '% of full scale',
    value: (assessment) => assessment.hysteresisPctFs,
    broken: 'Wait longer at each step and look for air in the tubes; if it stays, rest the sensor.',
    unknown: 'Read the same pressures going up and coming down in one run.',
  },
  {
    limit: 'repeatabilityPctFs',
    name: 'The spread between runs',
    unit: '% of full scale',
    value: (assessment) => assessment.repeatabilityPctFs,
    broken:
      'Let the sensor come to the water’s temperature and repeat the runs; if they still differ, rest the sensor.',
    unknown: 'Add a second run over the same pressures.',
  },
  {
    limit: 'residualSdKpa',
    name: 'The scatter about the line',
    unit: 'kPa',
    value: (assessment) => assessment.residualSd?.kpa ?? null,
    broken: 'Look for single points far from the line and for readings taken before they had settled.',
    unknown: 'Add points until there are at least three.',
  },
  {
    limit: 'sensitivityExpandedPct',
    name: 'The expanded uncertainty of the sensitivity',
    unit: '% of the sensitivity',
    value: ({ sensitivity }) =>
      sensitivity.expanded === null ? null : (100 * sensitivity.expanded) / Math.abs(sensitivity.value),
    broken: 'Add points toward both ends of the range, or use a reference that is better known.',
    unknown: 'Add points until there are at least three.',
  },
  {
    limit: 'sensitivityChangePct',
    name: 'The change of sensitivity against the mean of its history',
    unit: '%',
    value: ({ sensitivity }, historyMean) =>
      historyMean === null ? null : 100 * (sensitivity.value / historyMean - 1),
    broken:
      'Check the unit and the reference and calibrate again; if it says the same, rest the sensor until the cause is known.',
    unknown: 'Nothing to do: there is no accepted calibration of this sensor to compare with yet.',
  },
];

/**
 * Judges a calibration.
 * @param assessment null where no line could be fitted
 * @param historyMeanRawPerKpa mean sensitivity of the sensor's earlier accepted calibrations, raw/kPa; null without one
 * @param referenceName what the pressure was read from; null where that could not be said (a day folder's calibration)
 */
export function judgeBench(
  assessment: CalibrationAssessment | null,
  limits: BenchLimits,
  historyMeanRawPerKpa: number | null,
  referenceName: string | null,
): BenchVerdict {
  if (assessment === null) return { verdict: 'rejected', findings: [NO_LINE] };
  const findings: BenchFinding[] = [];
  if (assessment.sensitivity.value < 0) findings.push(reversed(assessment));
  for (const measure of MEASURES) {
    const bound = limits[measure.limit];
    if (bound !== null) findings.push(judgeMeasure(measure, bound, assessment, historyMeanRawPerKpa));
  }
  const rejected = findings.some(({ held }) => held === 'no');
  addAll(findings, judgeExtent(assessment, limits));
  if (referenceName?.trim() === '' && isExact(assessment)) findings.push(UNNAMED);
  const remark = findings.some(
    ({ held, limit }) => held === 'no' || (held === 'not_judged' && limit !== 'sensitivityChangePct'),
  );
  return { verdict: rejected ? 'rejected' : remark ? 'remark' : 'accepted', findings };
}

const NO_LINE: BenchFinding = {
  limit: 'line',
  value: null,
  unit: '',
  bound: null,
  held: 'no',
  says: 'No line can be laid through the points.',
  todo: 'Read at least two different pressures at which the raw value differs.',
};

function reversed({ sensitivity }: CalibrationAssessment): BenchFinding {
  return {
    limit: 'direction',
    value: sensitivity.value,
    unit: 'raw/kPa',
    bound: 0,
    held: 'no',
    says: 'The raw value falls as the pressure rises: the sensor reads backward.',
    todo: 'Check which tap the pressure was applied to; swap the tubes or the sign at the logger, and calibrate again.',
  };
}

function judgeMeasure(
  measure: Measure,
  bound: number,
  assessment: CalibrationAssessment,
  historyMean: number | null,
): BenchFinding {
  const { limit, unit, name } = measure;
  const value = measure.value(assessment, historyMean);
  if (value === null) {
    const noRange = unit === '% of full scale' && assessment.rangeKpa === null;
    const says = noRange ? `${name} was not judged: ${RANGE_UNKNOWN}.` : `${name} was not judged.`;
    const todo = noRange ? 'Enter the sensor’s range in the register.' : measure.unknown;
    return { limit, value, unit, bound, held: 'not_judged', says, todo };
  }
  const held = Math.abs(value) <= bound;
  const sign = limit === 'sensitivityChangePct' ? '±' : '';
  const says = `${name} is ${figures(value)} ${unit}; ${held ? 'the limit is' : 'more than the limit of'} ${sign}${figures(bound)} ${unit}.`;
  return { limit, value, unit, bound, held: held ? 'yes' : 'no', says, todo: held ? null : measure.broken };
}
