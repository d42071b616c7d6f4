/** What a calibration looked at: how many points and pressures, over how much of the range, from both sides. */
import type { CalibrationAssessment } from './metrology.ts';
import { figures } from '../base/words.ts';
import type { BenchFinding, BenchLimits } from './limits.ts';

export const RANGE_UNKNOWN = 'the sensor’s range is not known';

/** True where the reference is given no uncertainty at all. */
export function isExact({ reference: { sharedKpa, scale, perPointKpa } }: CalibrationAssessment): boolean {
  return sharedKpa === 0 && scale === 0 && perPointKpa === 0;
}

/** What is found where such a reference has no name either. */
export const UNNAMED: BenchFinding = {
  limit: 'reference',
  value: null,
  unit: '',
  bound: null,
  held: 'no',
  says: 'The reference has no name and is taken as exact, so nobody can tell how right the pressures were.',
  todo: 'Name what the pressure was read from, and give its uncertainty.',
};

/** Fewer different pressures show no curve, whatever a lab asks for (formats.md section 1). */
const FEWEST_PRESSURES = 3;

/** What was looked at: enough points, enough pressures over enough of the range, both directions, nothing set aside. */
export function judgeExtent(assessment: CalibrationAssessment, limits: BenchLimits): BenchFinding[] {
  const findings: BenchFinding[] = [];
  const count = (limit: 'leastPoints' | 'leastPressures', value: number, unit: string, bound: number) => {
    const held = value >= bound;
    const says = `${value} ${unit} took part; ${held ? 'at least' : 'fewer than the'} ${bound} ${held ? 'were' : 'that are'} asked for.`;
    const todo = held ? null : `Add ${bound - value} more.`;
    findings.push({ limit, value, unit, bound, held: held ? 'yes' : 'no', says, todo });
  };
  if (limits.leastPoints !== null) count('leastPoints', assessment.pointCount, 'points', limits.leastPoints);
  const { pressureCount } = assessment;
  if (limits.leastPressures !== null || pressureCount < FEWEST_PRESSURES)
    count(
      'leastPressures',
      pressureCount,
      'different pressures',
      Math.max(FEWEST_PRESSURES, limits.leastPressures ?? 0),
    );
  if (limits.leastCoveragePct !== null) findings.push(coverage(assessment, limits.leastCoveragePct));
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

/** How much of the range was seen: pressure and suction count by their size. */
function coverage({ points, rangeKpa }: CalibrationAssessment, bound: number): BenchFinding {
  const about = { limit: 'leastCoveragePct', unit: '% of the range', bound } as const;
  if (rangeKpa === null)
    return {
      ...about,
      value: null,
      held: 'not_judged',
      says: `How much of the range was calibrated was not judged: ${RANGE_UNKNOWN}.`,
      todo: 'Enter the sensor’s range in the register.',
    };
  let largestKpa = 0;
  for (const { appliedKpa, setAside } of points)
    if (setAside === null) largestKpa = Math.max(largestKpa, Math.abs(appliedKpa));
  const value = (100 * largestKpa) / rangeKpa;
  // A pressure set by hand, or converted, may miss the bound by dust.
  const held = value >= bound * (1 - 1e-9);
  return {
    ...about,
    value,
    held: held ? 'yes' : 'no',
    says: `The highest pressure was ${figures(largestKpa)} kPa, ${figures(value)} % of the sensor’s range; ${held ? 'at least' : 'less than the'} ${figures(bound)} % ${held ? 'was' : 'that are'} asked for.`,
    todo: held ? null : 'Add points at higher pressures, or enter the range that the sensor is used over.',
  };
}
