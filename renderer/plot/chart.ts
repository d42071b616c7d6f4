/** The one place of the bench that knows the chart library; loaded when the first plot is shown. */
import { CustomChart, LineChart, ScatterChart } from 'echarts/charts';
import { GridComponent } from 'echarts/components';
import { init, use, type EChartsCoreOption } from 'echarts/core';
import { CanvasRenderer } from 'echarts/renderers';

use([CustomChart, LineChart, ScatterChart, GridComponent, CanvasRenderer]);

export interface Chart {
  readonly draw: (option: EChartsCoreOption, widthPx: number, heightPx: number) => void;
  readonly close: () => void;
}

/** Puts a chart into an element, which must have a size. */
export function openChart(element: HTMLElement): Chart {
  const chart = init(element, null, { renderer: 'canvas' });
  return {
    draw(option, width, height) {
      chart.resize({ width, height, silent: true });
      chart.setOption(option, { notMerge: true, silent: true });
    },
    close: () => chart.dispose(),
  };
}
