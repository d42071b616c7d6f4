/** Two pictures of a fit: the points with their line, and what is left of them once the line is taken off. */
import { largest, smallest } from '../../../core/base/extent.ts';
import type { EChartsCoreOption } from 'echarts/core';
import { bandAt, type AssessedPoint, type CalibrationAssessment } from '../../../core/sensor/metrology.ts';
import type { Theme } from '../../theme/tokens.ts';
import {
  band,
  base,
  extentOf,
  gridLines,
  KINDS,
  line,
  numberAxis,
  points,
  withRoom,
  type Place,
  type Range,
} from '../../plot/axes.ts';
import { kindOf } from './pointrows.ts';

const INSET = { left: 96, right: 72, top: 16, bottom: 48 };
const BAND_STEPS = 48;
/** More points than this are drawn without their numbers. */
const MOST_LABELS = 30;
const X_PX = 72;

function rangeOfX(found: CalibrationAssessment): Range {
  return withRoom(extentOf(found.points.map(({ appliedKpa }) => appliedKpa)) ?? [0, 1], 0.06);
}

function xAxis(theme: Theme, range: Range, widthPx: number) {
  const room = Math.max(2, (widthPx - INSET.left - INSET.right) / X_PX);
  return numberAxis(theme, range, room, 'Applied pressure / kPa', { nameGap: 28 });
}

function alongX([from, to]: Range): readonly number[] {
  return Array.from({ length: BAND_STEPS + 1 }, (_, k) => from + (k / BAND_STEPS) * (to - from));
}

function marks(found: CalibrationAssessment, y: (point: AssessedPoint) => number, theme: Theme) {
  const labelled = found.points.length <= MOST_LABELS;
  return KINDS.map((kind) =>
    points(
      found.points.flatMap((point, index) =>
        kindOf(point) === kind
          ? [[point.appliedKpa, y(point), labelled ? String(index + 1) : ''] as const]
          : [],
      ),
      kind,
      theme,
      13,
    ),
  );
}

export function fitOption(
  found: CalibrationAssessment,
  rawUnit: string,
  theme: Theme,
  widthPx: number,
): EChartsCoreOption {
  const range = rangeOfX(found);
  const xs = alongX(range);
  const edge = (sign: 1 | -1): Place[] =>
    xs.map((x) => {
      const { value, expanded } = bandAt(found, x, 'reading');
      return [x, value + sign * (expanded ?? 0)];
    });
  const [lower, upper] = [edge(-1), edge(1)];
  const raws = [...found.points.map(({ raw }) => raw), lower[0]![1], upper.at(-1)![1]];
  return {
    ...base(theme, INSET),
    xAxis: xAxis(theme, range, widthPx),
    yAxis: numberAxis(theme, withRoom(extentOf(raws)!, 0.08), 6, `Raw value / ${rawUnit}`, {
      nameGap: 76,
      ...gridLines(theme),
    }),
    series: [
      band(lower, upper, theme.section),
      line(
        xs.map((x) => [x, bandAt(found, x, 'line').value]),
        theme.accent,
        2,
      ),
      ...marks(found, ({ raw }) => raw, theme),
    ],
  };
}

/** Half the height of the residuals' axis, kPa: all points that take part, and the band within reason. */
function residualReach(found: CalibrationAssessment, expanded: readonly number[]): number {
  const used = found.points.filter(({ setAside }) => setAside === null);
  const reach = Math.max(largest(used.map(({ residualKpa }) => Math.abs(residualKpa))), 1e-6);
  return 1.25 * Math.max(reach, Math.min(3 * reach, smallest(expanded)));
}

export function residualOption(
  found: CalibrationAssessment,
  theme: Theme,
  widthPx: number,
): EChartsCoreOption {
  const range = rangeOfX(found);
  const xs = alongX(range);
  const slope = Math.abs(found.line.slope);
  const half = (of: 'line' | 'reading') => xs.map((x) => (bandAt(found, x, of).expanded ?? 0) / slope);
  const [ofReading, ofLine] = [half('reading'), half('line')];
  const reach = residualReach(found, ofReading);
  const edge = (halves: readonly number[], sign: 1 | -1): Place[] => xs.map((x, k) => [x, sign * halves[k]!]);
  const { rangeKpa } = found;
  const full = rangeKpa === null ? null : (100 * reach) / rangeKpa;
  return {
    ...base(theme, INSET),
    xAxis: xAxis(theme, range, widthPx),
    yAxis: [
      numberAxis(theme, [-reach, reach], 4, 'Residual / kPa', { nameGap: 76, ...gridLines(theme) }),
      ...(full === null
        ? []
        : [
            numberAxis(theme, [-full, full], 4, '% of full scale', {
              nameGap: 52,
              position: 'right',
            }),
          ]),
    ],
    series: [
      band(edge(ofReading, -1), edge(ofReading, 1), theme.section),
      line(edge(ofLine, 1), theme.accent, 1, [4, 3]),
      line(edge(ofLine, -1), theme.accent, 1, [4, 3]),
      line(
        [
          [range[0], 0],
          [range[1], 0],
        ],
        theme.accent,
        2,
      ),
      ...marks(found, ({ residualKpa }) => residualKpa, theme),
      // The right axis is drawn only where a series lies on it.
      ...(full === null ? [] : [{ ...line([], theme.line, 0), yAxisIndex: 1 }]),
    ],
  };
}

/** What is known of a sensor before its first points. */
export interface Expected {
  readonly rangeKpa: number | null;
  readonly rawMin: number | null;
  readonly rawMax: number | null;
}

/** Axes with nothing on them yet, over the sensor's range, so that the room of the line is seen from the start. */
export function emptyOption(
  { rangeKpa, rawMin, rawMax }: Expected,
  rawUnit: string,
  theme: Theme,
  widthPx: number,
): EChartsCoreOption {
  const raws: Range = rawMin === null || rawMax === null ? [0, 1] : [rawMin, rawMax];
  const name = `Raw value / ${rawUnit}`;
  return {
    ...base(theme, INSET),
    xAxis: xAxis(theme, [0, rangeKpa ?? 15], widthPx),
    yAxis: numberAxis(theme, raws, 6, name, { nameGap: 76, ...gridLines(theme) }),
    series: [line([], theme.accent, 0)],
  };
}

/** What the residuals show, in one sentence. */
export function residualSummary(found: CalibrationAssessment): string {
  const used = found.points.flatMap((point, index) => (point.setAside === null ? [{ point, index }] : []));
  const worst = used.toSorted((a, b) => Math.abs(b.point.residualKpa) - Math.abs(a.point.residualKpa))[0];
  if (worst === undefined) return '';
  const meanOf = (direction: 'up' | 'down') => {
    const side = used.filter(({ point }) => point.direction === direction);
    return side.length === 0
      ? null
      : side.reduce((sum, { point }) => sum + point.residualKpa, 0) / side.length;
  };
  const [up, down] = [meanOf('up'), meanOf('down')];
  const kpa = (value: number) => `${value < 0 ? '\u2212' : '+'}${Math.abs(value).toPrecision(2)}\u00a0kPa`;
  const sides =
    up === null || down === null
      ? ''
      : ` On average ▲ up lies ${kpa(up)} and ▽ down ${kpa(down)} from the line.`;
  return `Farthest from the line is point ${worst.index + 1}, by ${kpa(worst.point.residualKpa)}.${sides}`;
}
