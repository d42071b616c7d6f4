/** The picture of a recorded column: its samples reduced to what a screen can show. */
import type { EChartsCoreOption } from 'echarts/core';
import type { RecordingView } from '../../../core/contract/bench.ts';
import { downsample } from '../../plot/downsample.ts';
import type { Theme } from '../../theme/tokens.ts';
import { base, gridLines, numberAxis, withRoom, type Place } from '../../plot/axes.ts';

/** Room about the plot, px; what is laid over it shares it. */
export const RECORDING_INSET = { left: 88, right: 16, top: 24, bottom: 48 } as const;

export function recordingOption(
  samples: Float64Array,
  view: RecordingView,
  endS: number,
  name: string,
  theme: Theme,
  widthPx: number,
): EChartsCoreOption {
  const inner = Math.max(1, widthPx - RECORDING_INSET.left - RECORDING_INSET.right);
  const span = { fromS: view.startS, toS: endS };
  const { points, extent } = downsample(samples, view, span, inner);
  const places: Place[] = [];
  for (let k = 0; k < points.length; k += 2) places.push([points[k]!, points[k + 1]!]);
  return {
    ...base(theme, RECORDING_INSET),
    xAxis: numberAxis(theme, [span.fromS, span.toS], inner / 96, 'Time in the recording / s', {
      nameGap: 28,
    }),
    yAxis: numberAxis(theme, withRoom(extent ?? [0, 1], 0.08), 5, name, { nameGap: 64, ...gridLines(theme) }),
    series: [
      {
        type: 'line',
        data: places,
        silent: true,
        showSymbol: false,
        connectNulls: false,
        lineStyle: { color: theme.text, width: 1.5 },
      },
    ],
  };
}
