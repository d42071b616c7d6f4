/**
 * The verdict on a bench calibration: each limit that a lab sets, what was found against it, and what to do.
 * A limit on how well the sensor reads rejects where it is broken; a limit on how much was looked at (points,
 * pressures, both directions) leaves a remark, as does whatever could not be judged.
 */
import type { CalibrationAssessment } from './metrology.ts';
import { figures } from '../base/words.ts';

/** Limits of a lab; a limit that is null is not applied. */
export interface BenchLimits {
  /** Independent non-linearity, % of full scale. */
  readonly nonlinearityPctFs: number | null;
  /** Hysteresis within a run, % of full scale. */
  readonly hysteresisPctFs: number | null;
  /** Spread over the runs, % of full scale. */
  readonly repeatabilityPctFs: number | null;
  /** Residual standard deviation, kPa. */
  readonly residualSdKpa: number | null;
  /** Expanded uncertainty of the sensitivity, % of the sensitivity. */
  readonly sensitivityExpandedPct: number | null;
  /** Change of the sensitivity against the mean of its history, ± %. */
  readonly sensitivityChangePct: number | null;
  readonly leastPoints: number | null;
  readonly leastPressures: number | null;
  /** True where every calibration is to be read up and down. */
  readonly upAndDown: boolean;
}

export type BenchLimitName = keyof BenchLimits;

/** What a lab is offered where it has set nothing. All are common practice without a source, hence the reasons. */
export const DEFAULT_BENCH_LIMITS: BenchLimits = {
  nonlinearityPctFs: 1,
  hysteresisPctFs: 1,
  repeatabilityPctFs: 1,
  residualSdKpa: 0.1,
  sensitivityExpandedPct: 2,
  sensitivityChangePct: 3,
  leastPoints: 10,
  leastPressures: 5,
  upAndDown: true,
};

/** Why each default is what it is, one sentence each. */
export const BENCH_LIMIT_REASONS: Readonly<Record<BenchLimitName, string>> = {
  nonlinearityPctFs:
    'A hand area is known to a few percent at best; at 1 % of full scale the sensor’s curve is not what limits the force.',
  hysteresisPctFs:
    'A stroke loads and unloads the sensor; 1 % of full scale keeps the difference below the uncertainty of the hand area.',
  repeatabilityPctFs:
    'Two runs that differ by more than 1 % of full scale differ by more than the sensor’s curve may.',
  residualSdKpa:
    '0.1 kPa is the pressure of 10 mm of water, the depth difference between two taps that cannot be ruled out anyway.',
  sensitivityExpandedPct:
    'It passes straight into every force; 2 % stays below the uncertainty of a traced hand area.',
  sensitivityChangePct:
    'A change of more than 3 % is larger than two good calibrations differ by, so something happened to the sensor or to the bench.',
  leastPoints:
    'Five pressures up and down make ten points, which leave eight degrees of freedom for the scatter.',
  leastPressures:
    'A curve shows itself only between the ends; five pressures show it at the quarters of the range.',
  upAndDown: 'Hysteresis shows only where pressures are reached from both sides.',
};

export type Held = 'yes' | 'no' | 'not_judged';

/** One limit against what was found. */
export interface BenchFinding {
  readonly limit: BenchLimitName | 'line' | 'direction' | 'set_aside';
  /** What was found, in `unit`; null where it could not be found. */
  readonly value: number | null;
  readonly unit: string;
  readonly bound: number | null;
  readonly held: Held;
  /** One sentence: what was found. */
  readonly says: string;
  /** One sentence: what to do; null where there is nothing to do. */
  readonly todo: string | null;
}

export interface BenchVerdict {
  readonly verdict: 'accepted' | 'remark' | 'rejected';
  readonly findings: readonly BenchFinding[];
}

interface Measure {
  readonly limit: Exclude<BenchLimitName, 'leastPoints' | 'leastPressures' | 'upAndDown'>;
  readonly name: string;
  readonly unit: string;
  readonly value: (assessment: CalibrationAssessment, historyMean: number | null) => number | null;
  readonly broken: string;
  readonly unknown: string;
}

const RANGE = 'the sensor’s range is not known';

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
 */
export function judgeBench(
  assessment: CalibrationAssessment | null,
  limits: BenchLimits,
  historyMeanRawPerKpa: number | null,
): BenchVerdict {
  if (assessment === null) return { verdict: 'rejected', findings: [NO_LINE] };
  const findings: BenchFinding[] = [];
  if (assessment.sensitivity.value < 0) findings.push(reversed(assessment));
  for (const measure of MEASURES) {
    const bound = limits[measure.limit];
    if (bound !== null) findings.push(judgeMeasure(measure, bound, assessment, historyMeanRawPerKpa));
  }
  const rejected = findings.some(({ held }) => held === 'no');
  findings.push(...judgeExtent(assessment, limits));
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
    const says = noRange ? `${name} was not judged: ${RANGE}.` : `${name} was not judged.`;
    const todo = noRange ? 'Enter the sensor’s range in the register.' : measure.unknown;
    return { limit, value, unit, bound, held: 'not_judged', says, todo };
  }
  const held = Math.abs(value) <= bound;
  const sign = limit === 'sensitivityChangePct' ? '±' : '';
  const says = `${name} is ${figures(value)} ${unit}; ${held ? 'the limit is' : 'more than the limit of'} ${sign}${figures(bound)} ${unit}.`;
  return { limit, value, unit, bound, held: held ? 'yes' : 'no', says, todo: held ? null : measure.broken };
}

/** What was looked at: enough points, enough pressures, both directions, nothing set aside. */
function judgeExtent(assessment: CalibrationAssessment, limits: BenchLimits): BenchFinding[] {
  const findings: BenchFinding[] = [];
  const count = (limit: 'leastPoints' | 'leastPressures', value: number, unit: string) => {
    const bound = limits[limit];
    if (bound === null) return;
    const held = value >= bound;
    const says = `${value} ${unit} took part; ${held ? 'at least' : 'fewer than the'} ${bound} ${held ? 'were' : 'that are'} asked for.`;
    const todo = held ? null : `Add ${bound - value} more.`;
    findings.push({ limit, value, unit, bound, held: held ? 'yes' : 'no', says, todo });
  };
  count('leastPoints', assessment.pointCount, 'points');
  count('leastPressures', assessment.pressureCount, 'different pressures');
  if (limits.upAndDown) {
    const used = assessment.points.filter((point) => point.setAside === null);
    const held = (['up', 'down'] as const).every((side) => used.some(({ direction }) => direction === side));
    findings.push({
      limit: 'upAndDown',
      value: null,
      unit: '',
      bound: null,
      held: held ? 'yes' : 'no',
      says: held
        ? 'Pressures were read going up and coming down.'
        : 'Pressures were read in one direction only.',
      todo: held ? null : 'Read the same pressures in the other direction too.',
    });
  }
  const aside = assessment.points.length - assessment.pointCount;
  if (aside > 0)
    findings.push({
      limit: 'set_aside',
      value: aside,
      unit: 'points',
      bound: 0,
      held: 'no',
      says: `${aside} ${aside === 1 ? 'point was' : 'points were'} set aside, with a reason each.`,
      todo: 'Nothing more to do if the reasons hold; they stay with the calibration.',
    });
  return findings;
}
