/**
 * Force curves over the cycle as a table: for each trial and hand the mean of the strokes that count at 0, 1, … 100 % of
 * the cycle, from one propulsion start to the next, and their standard deviation.
 */
import { type Hand, HANDS } from '../base/hand.ts';
import { fields } from './field.ts';
import type { DescribedTable } from './package.ts';
import { DAY_FIELD } from './pool.ts';
import type { SampledTrace } from '../force/trace.ts';
import { longGaps } from '../force/gaps.ts';
import { handCurves, meanCurve } from '../stroke/curve.ts';
import type { TrialResult } from '../trial/result.ts';

/** A point of a mean curve. */
export interface CurvePoint {
  readonly trial: string;
  readonly participant: string;
  readonly hand: Hand;
  /** 0 to 100. */
  readonly cyclePct: number;
  readonly forceN: number;
  readonly sdN: number | null;
  readonly cycles: number;
}

export const curves = fields<CurvePoint>(
  ['trial', 'string', '', 'Code of the trial', (row) => row.trial],
  ['participant', 'string', '', 'Code of the swimmer', (row) => row.participant],
  ['hand', 'string', '', 'left or right', (row) => row.hand],
  [
    'cycle_pct',
    'integer',
    '%',
    'Part of the cycle, from one propulsion start to the next of that hand',
    (row) => row.cyclePct,
  ],
  [
    'force_n',
    'number',
    'N',
    'Hand force, mean of the cycles whose stroke counts, by straight lines between samples',
    (row) => row.forceN,
  ],
  ['force_sd_n', 'number', 'N', 'Standard deviation between the cycles; empty for one', (row) => row.sdN],
  ['cycles', 'integer', '', 'Number of cycles', (row) => row.cycles],
);

/** The table of a release: curves of several days. */
export const CURVES_TABLE: DescribedTable = {
  name: 'curves',
  title: 'Mean force curves over the stroke cycle',
  fields: [DAY_FIELD, ...curves],
  key: ['day', 'trial', 'hand', 'cycle_pct'],
};

/**
 * The points of a trial's mean curves, forces in N; none for a hand without a force or a whole cycle.
 * @param maxGapMs filled stretches longer than this, ms, leave a cycle out; null for none
 */
export function curvePoints(
  of: { readonly trial: string; readonly participant: string },
  trace: SampledTrace,
  forceN: Readonly<Record<Hand, Float64Array | null>>,
  { strokes }: Pick<TrialResult, 'strokes'>,
  maxGapMs: number | null,
): readonly CurvePoint[] {
  return HANDS.flatMap((hand) => {
    const [series, channel] = [forceN[hand], trace[hand]];
    if (series === null || channel === null) return [];
    const gaps = longGaps(channel, trace.rateHz, maxGapMs);
    const all = strokes.map(({ stroke }) => stroke);
    const counting = new Set(
      strokes.flatMap(({ stroke, counts }) => (counts && stroke.hand === hand ? [stroke.number] : [])),
    );
    const { curves: cycles } = handCurves(series, trace, gaps, all, hand, 'propulsion_start');
    const mean = meanCurve(cycles.filter(({ stroke }) => counting.has(stroke)));
    if (mean === null) return [];
    return Array.from(mean.mean, (force, cyclePct) => ({
      ...of,
      hand,
      cyclePct,
      forceN: force,
      sdN: mean.sd?.[cyclePct] ?? null,
      cycles: mean.n,
    }));
  });
}
