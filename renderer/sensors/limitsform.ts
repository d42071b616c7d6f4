/** The limits of the bench, in the order in which they are judged. */
import type { BenchLimitName } from '../../core/sensor/limits.ts';

export interface LimitField {
  readonly name: Exclude<BenchLimitName, 'upAndDown'>;
  readonly label: string;
  readonly unit: string;
  readonly bound: 'positive' | 'count';
}

export const LIMIT_FIELDS: readonly LimitField[] = [
  {
    name: 'nonlinearityPctFs',
    label: 'Non-linearity, independent',
    unit: '% of full scale',
    bound: 'positive',
  },
  { name: 'hysteresisPctFs', label: 'Hysteresis', unit: '% of full scale', bound: 'positive' },
  { name: 'repeatabilityPctFs', label: 'Spread between runs', unit: '% of full scale', bound: 'positive' },
  { name: 'residualSdKpa', label: 'Scatter about the line', unit: 'kPa', bound: 'positive' },
  {
    name: 'sensitivityExpandedPct',
    label: 'Expanded uncertainty of the sensitivity',
    unit: '% of it',
    bound: 'positive',
  },
  {
    name: 'sensitivityChangePct',
    label: 'Change against the history',
    unit: '± % of its mean',
    bound: 'positive',
  },
  { name: 'leastPoints', label: 'Points, at least', unit: 'points', bound: 'count' },
  { name: 'leastPressures', label: 'Different pressures, at least', unit: 'pressures', bound: 'count' },
  {
    name: 'leastCoveragePct',
    label: 'Highest pressure, at least',
    unit: '% of the range',
    bound: 'positive',
  },
];
