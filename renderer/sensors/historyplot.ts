/** A sensor's sensitivity over time with expanded-uncertainty bars, its mean and its limits: as a plot and in words. */
import type { EChartsCoreOption } from 'echarts/core';
import type { KeptCalibration } from '../../core/sensor/draft.ts';
import type { SensitivityHistory } from '../../core/sensor/drift.ts';
import type { Estimate } from '../../core/sensor/metrology.ts';
import { formatNumber } from '../format.ts';
import type { Theme } from '../theme/tokens.ts';
import { base, extentOf, FONT, gridLines, line, numberAxis, withRoom, type Place } from '../plot/axes.ts';

export interface HistoryPoint {
  readonly atMs: number;
  readonly sensitivity: Estimate;
  readonly accepted: boolean;
}

/** Every calibration through which a line was laid, oldest first. */
export function historyPoints(calibrations: readonly KeptCalibration[]): readonly HistoryPoint[] {
  return calibrations
    .flatMap(({ at, assessment, verdict }) =>
      assessment === null
        ? []
        : [
            {
              atMs: Date.parse(at),
              sensitivity: assessment.sensitivity,
              accepted: verdict !== null && verdict.verdict !== 'rejected',
            },
          ],
    )
    .toSorted((a, b) => a.atMs - b.atMs);
}

const INSET = { left: 88, right: 136, top: 16, bottom: 28 };
const DAY_MS = 86_400_000;
/** Room before the first and after the last calibration, so that one alone still has dates about it. */
const LEAST_ROOM_MS = 10 * DAY_MS;

export function historyOption(
  points: readonly HistoryPoint[],
  history: SensitivityHistory | null,
  unit: string,
  theme: Theme,
): EChartsCoreOption {
  const [first, last] = extentOf(points.map(({ atMs }) => atMs)) ?? [0, 1];
  const room = Math.max(LEAST_ROOM_MS, 0.06 * (last - first));
  const [min, max] = [first - room, last + room];
  const ends = points.flatMap(({ sensitivity: { value, expanded } }) => [
    value - (expanded ?? 0),
    value + (expanded ?? 0),
  ]);
  const levels =
    history === null ? [] : [history.lowerRawPerKpa, history.meanRawPerKpa, history.upperRawPerKpa];
  const range = withRoom(extentOf([...ends, ...levels]) ?? [0, 1], 0.08);
  return {
    ...base(theme, INSET),
    xAxis: {
      type: 'time',
      min,
      max,
      axisLine: { lineStyle: { color: theme.line, width: theme.borderPx }, onZero: false },
      axisLabel: { ...FONT, color: theme.quiet, hideOverlap: true, formatter: '{d} {MMM} {yyyy}' },
      splitNumber: 4,
      splitLine: { show: false },
      minInterval: 7 * DAY_MS,
    },
    yAxis: numberAxis(theme, range, 5, `Sensitivity / (${unit})`, { nameGap: 64, ...gridLines(theme) }),
    series: [
      ...(history === null ? [] : levelLines(history, [min, max], theme)),
      ...points.flatMap((point) => bar(point, theme)),
      marks(points, true, theme),
      marks(points, false, theme),
    ],
  };
}

function levelLines(history: SensitivityHistory, [min, max]: Place, theme: Theme) {
  const level = (value: number, text: string, type: unknown, width: number) => ({
    ...line([[min, value]], theme.quiet, width, type),
    showSymbol: true,
    symbolSize: 0.1,
    data: [
      [min, value],
      {
        value: [max, value],
        label: { show: true, position: 'right', formatter: text, color: theme.text, fontSize: 14 },
      },
    ],
  });
  const pct = 100 * (history.upperRawPerKpa / history.meanRawPerKpa - 1);
  const limit = formatNumber(Math.abs(pct), Math.abs(pct) % 1 < 1e-6 || Math.abs(pct) % 1 > 1 - 1e-6 ? 0 : 1);
  return [
    level(history.upperRawPerKpa, `limit +${limit}\u00a0%`, [6, 4], 2),
    level(history.meanRawPerKpa, 'mean', 'solid', 1),
    level(history.lowerRawPerKpa, `limit \u2212${limit}\u00a0%`, [6, 4], 2),
  ];
}

function bar({ atMs, sensitivity: { value, expanded } }: HistoryPoint, theme: Theme) {
  if (expanded === null) return [];
  return [
    line(
      [
        [atMs, value - expanded],
        [atMs, value + expanded],
      ],
      theme.text,
      2,
    ),
  ];
}

function marks(points: readonly HistoryPoint[], accepted: boolean, theme: Theme) {
  return {
    type: 'scatter',
    silent: true,
    z: 4,
    symbol: accepted ? 'circle' : 'path://M1 1L9 9M9 1L1 9',
    symbolSize: accepted ? 7 : 10,
    itemStyle: { color: theme.text, borderColor: theme.text, borderWidth: 2 },
    data: points
      .filter((point) => point.accepted === accepted)
      .map(({ atMs, sensitivity }) => ({ value: [atMs, sensitivity.value] })),
  };
}
