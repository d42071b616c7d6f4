/** The picture of both hands' raw samples: left solid, right dashed, each labelled at its end. */
import { largest, smallest } from '../../../core/base/extent.ts';
import type { EChartsCoreOption } from 'echarts/core';
import { HANDS, type Hand } from '../../../core/base/hand.ts';
import { downsample, type Grid, type Span } from '../../plot/downsample.ts';
import type { Samples } from '../../review/samples.ts';
import { base, FONT, gridLines, line, numberAxis, withRoom, type Place } from '../../plot/axes.ts';
import type { Theme } from '../../theme/tokens.ts';

const INSET = { left: 88, right: 56, top: 16, bottom: 48 } as const;
type Units = Readonly<Record<Hand, string | null>>;
const WORDS: Readonly<Record<Hand, string>> = { left: 'Left', right: 'Right' };

export function rawOption(
  raw: Samples,
  grid: Grid,
  span: Span,
  units: Units,
  theme: Theme,
  widthPx: number,
): EChartsCoreOption {
  const inner = Math.max(1, widthPx - INSET.left - INSET.right);
  const reduced = HANDS.flatMap((hand) => {
    const values = raw[hand];
    return values === null ? [] : [{ hand, ...downsample(values, grid, span, inner) }];
  });
  const extents = reduced.flatMap(({ extent }) => extent ?? []);
  const range = extents.length === 0 ? ([0, 1] as const) : ([smallest(extents), largest(extents)] as const);
  return {
    ...base(theme, INSET),
    xAxis: numberAxis(theme, [span.fromS, span.toS], inner / 96, 'Time on the trial’s clock / s', {
      nameGap: 28,
    }),
    yAxis: numberAxis(theme, withRoom(range, 0.08), 5, axisName(raw, units), {
      nameGap: 64,
      ...gridLines(theme),
    }),
    series: reduced.map(({ hand, points }) => ({
      ...line(places(points), theme[hand], theme.handLinePx, hand === 'left' ? 'solid' : [7, 4]),
      endLabel: { ...FONT, show: true, formatter: WORDS[hand], color: theme[hand], fontWeight: 600 },
    })),
  };
}

/** What the readings are in; where the hands differ, each with its own unit. */
function axisName(raw: Samples, units: Units): string {
  const named = (hand: Hand) => units[hand] ?? 'raw, unit not stated';
  const drawn = HANDS.filter((hand) => raw[hand] !== null);
  const all = new Set(drawn.map(named));
  return all.size === 1
    ? `Reading / ${[...all][0]!}`
    : drawn.map((hand) => `${WORDS[hand]} / ${named(hand)}`).join(', ');
}

function places(points: Float64Array): readonly Place[] {
  return Array.from({ length: points.length / 2 }, (_, k) => [points[2 * k]!, points[2 * k + 1]!] as const);
}
