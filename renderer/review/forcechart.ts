/** The plot of both hands' force: the one place that knows the chart library. Everything else draws over it as SVG. */
import { LineChart } from 'echarts/charts';
import { GridComponent } from 'echarts/components';
import { init, use, type EChartsCoreOption } from 'echarts/core';
import { CanvasRenderer } from 'echarts/renderers';
import type { Theme } from '../theme/tokens.ts';
import type { Picture } from './picture.ts';
import { INSET } from '../plot/plotwindow.svelte.ts';
import { tickDecimals } from '../plot/scale.ts';

/** A line that fills its own envelope: wider strokes there cost three times as much to draw and show no more, px. */
const DENSE_LINE_PX = 1;

use([LineChart, GridComponent, CanvasRenderer]);

export interface ForceChart {
  readonly draw: (picture: Picture, theme: Theme) => void;
  readonly close: () => void;
}

/** Below this the name of the force axis is longer than the axis. */
const LOW_PX = 200;

/** Puts a chart into an element, which must have a size. */
export function openForceChart(element: HTMLElement): ForceChart {
  const chart = init(element, null, { renderer: 'canvas' });
  return {
    draw(picture, theme) {
      chart.resize({ width: picture.widthPx, height: picture.heightPx, silent: true });
      chart.setOption(optionOf(picture, theme), { notMerge: true, silent: true });
    },
    close: () => chart.dispose(),
  };
}

function optionOf(picture: Picture, theme: Theme): EChartsCoreOption {
  const { span, rangeN, ticksS, ticksN } = picture;
  return {
    animation: false,
    textStyle: { fontFamily: 'system-ui, sans-serif', fontSize: 14, color: theme.text },
    grid: { ...INSET, containLabel: false, outerBoundsMode: 'none' },
    xAxis: {
      ...axis(theme, span.fromS, span.toS, ticksS),
      name: 'Time on the trial’s clock / s',
      nameGap: 28,
      splitLine: { show: false },
    },
    yAxis: {
      ...axis(theme, rangeN[0], rangeN[1], ticksN),
      show: picture.left !== null || picture.right !== null,
      name: picture.heightPx < LOW_PX ? 'F / N' : 'Hand force / N',
      nameGap: 48,
      splitLine: { show: true, lineStyle: { color: theme.line, opacity: 0.35 } },
    },
    series: [
      line(picture.left, theme.left, 'solid', picture.dense ? DENSE_LINE_PX : theme.handLinePx),
      line(picture.right, theme.right, [7, 4], picture.dense ? DENSE_LINE_PX : theme.handLinePx),
    ],
  };
}

function axis(theme: Theme, min: number, max: number, ticks: readonly number[]): Record<string, unknown> {
  const decimals = tickDecimals(ticks);
  const customValues = [...ticks];
  return {
    type: 'value',
    min,
    max,
    nameLocation: 'middle',
    nameTextStyle: { color: theme.text, fontSize: 14 },
    axisLine: { show: true, onZero: false, lineStyle: { color: theme.line, width: theme.borderPx } },
    axisTick: { show: true, customValues, lineStyle: { color: theme.line } },
    axisLabel: {
      customValues,
      color: theme.quiet,
      fontSize: 14,
      hideOverlap: true,
      formatter: (value: number) => value.toFixed(decimals).replace('-', '\u2212'),
    },
  };
}

function line(
  points: Float64Array | null,
  colour: string,
  type: 'solid' | number[],
  widthPx: number,
): Record<string, unknown> {
  return {
    type: 'line',
    dimensions: ['s', 'n'],
    data: points ?? [],
    silent: true,
    showSymbol: false,
    connectNulls: false,
    clip: true,
    lineStyle: { color: colour, width: widthPx, type, join: 'bevel' },
  };
}
