/** Power against the number of swimmers: the curve, the wanted powers, and what is planned. */
import type { EChartsCoreOption } from 'echarts/core';
import { powerCurve, swimmersFor } from '../../../core/protocol/power.ts';
import type { PlannedComparison } from '../../../core/protocol/content.ts';
import { base, gridLines, line, numberAxis } from '../../plot/axes.ts';
import type { Theme } from '../../theme/tokens.ts';
import { WANTED } from './powerwords.ts';

export interface PowerPoint {
  readonly size: number;
  readonly power: number | null;
}

const LEAST_SIZE = 2;
const MOST_SIZE = 1000;
/** No more sizes than these are computed for a curve. */
const MOST_POINTS = 60;
const TABLE_ROWS = 10;

/** Largest size worth showing: beyond what power 0.9 takes and what is planned. */
function largestSize(comparison: PlannedComparison): number {
  const needed = swimmersFor(comparison, 0.9);
  const wanted = needed.ok ? needed.value.swimmers : MOST_SIZE;
  const planned = Math.max(comparison.first, comparison.kind === 'paired' ? 0 : comparison.second);
  return Math.min(MOST_SIZE, Math.max(10, Math.ceil(1.3 * Math.max(wanted, planned))));
}

/** The curve, every size where there are few. */
export function curveOf(comparison: PlannedComparison): readonly PowerPoint[] {
  const most = largestSize(comparison);
  const step = Math.max(1, Math.ceil((most - LEAST_SIZE) / MOST_POINTS));
  return powerCurve(comparison, sizesBetween(most, step));
}

/** A few sizes for the table. */
export function tableOf(comparison: PlannedComparison): readonly PowerPoint[] {
  const most = largestSize(comparison);
  return powerCurve(comparison, sizesBetween(most, Math.max(1, Math.ceil((most - LEAST_SIZE) / TABLE_ROWS))));
}

function sizesBetween(most: number, step: number): readonly number[] {
  return Array.from({ length: Math.floor((most - LEAST_SIZE) / step) + 1 }, (_, k) => LEAST_SIZE + k * step);
}

export function sizeAxisName({ kind }: PlannedComparison): string {
  return kind === 'paired' ? 'Swimmers, each measured twice' : 'Swimmers per group';
}

export function powerOption(
  comparison: PlannedComparison,
  curve: readonly PowerPoint[],
  planned: PowerPoint | null,
  theme: Theme,
  widthPx: number,
): EChartsCoreOption {
  const most = curve.at(-1)?.size ?? LEAST_SIZE;
  const places = curve.flatMap(({ size, power }) => (power === null ? [] : [[size, power] as const]));
  const level = (wanted: number) => ({
    ...line(
      [
        [0, wanted],
        [most, wanted],
      ],
      theme.quiet,
      1,
      [6, 4],
    ),
  });
  return {
    ...base(theme, { left: 64, right: 24, top: 16, bottom: 56 }),
    xAxis: numberAxis(theme, [0, most], Math.max(2, Math.floor(widthPx / 72)), sizeAxisName(comparison), {
      nameGap: 32,
    }),
    yAxis: numberAxis(theme, [0, 1], 5, 'Power', { nameGap: 44, ...gridLines(theme) }),
    series: [
      ...WANTED.map(level),
      line(places, theme.text, theme.handLinePx),
      ...(planned === null || planned.power === null
        ? []
        : [
            {
              type: 'scatter',
              silent: true,
              z: 4,
              symbol: 'circle',
              symbolSize: 12,
              data: [
                {
                  value: [planned.size, planned.power],
                  label: {
                    show: true,
                    formatter: 'planned',
                    position: planned.size > 0.75 * most ? 'left' : 'right',
                    distance: 8,
                    color: theme.text,
                    fontSize: 14,
                  },
                },
              ],
              itemStyle: { color: theme.accent, borderColor: theme.text, borderWidth: 2 },
            },
          ]),
    ],
  };
}
