/** Where the points of a Bland–Altman plot lie, px: mean of both raters along, difference (second − first) upwards. */
import { largest, smallest } from '../../core/base/extent.ts';
import type { ValueAgreementView } from '../../core/contract/review.ts';
import { formatNumber, formatSigned } from '../format.ts';
import { tickDecimals, ticksIn } from '../plot/scale.ts';

export const PLOT = { heightPx: 300, left: 80, right: 152, top: 16, bottom: 52 } as const;
const TICK_PX = { x: 80, y: 36 } as const;

/** One thing that both raters gave, in its unit. */
export interface AgreementPoint {
  readonly first: number;
  readonly second: number;
}

export interface Limit {
  readonly text: string;
  readonly y: number;
  /** Top and bottom of its 95 % confidence limits; null where there are none. */
  readonly band: readonly [number, number] | null;
  /** Where its label stands: kept a line apart from the others. */
  readonly labelY: number;
}

export interface AgreementPicture {
  readonly dots: readonly { readonly x: number; readonly y: number }[];
  readonly limits: readonly Limit[];
  readonly zeroY: number;
  readonly ticksX: readonly { readonly x: number; readonly text: string }[];
  readonly ticksY: readonly { readonly y: number; readonly text: string }[];
}

const LABEL_PX = 34;

/** Mean and difference of a point. */
export function meanAndDifference({ first, second }: AgreementPoint): {
  readonly mean: number;
  readonly difference: number;
} {
  return { mean: (first + second) / 2, difference: second - first };
}

/** The picture; null without a point. */
export function agreementPicture(
  points: readonly AgreementPoint[],
  agreement: ValueAgreementView,
  widthPx: number,
  decimals: number,
): AgreementPicture | null {
  if (points.length === 0) return null;
  const pairs = points.map(meanAndDifference);
  const means = pairs.map(({ mean }) => mean);
  const lines = [agreement.upperLimit, agreement.bias, agreement.lowerLimit];
  const shown = [
    0,
    ...pairs.map(({ difference }) => difference),
    ...lines.flatMap(({ value, low, high }) => [value, low ?? value, high ?? value]),
  ];
  const [x0, x1] = padded(smallest(means), largest(means));
  const [y0, y1] = padded(smallest(shown), largest(shown));
  const inner = {
    width: widthPx - PLOT.left - PLOT.right,
    height: PLOT.heightPx - PLOT.top - PLOT.bottom,
  };
  const x = (value: number) => PLOT.left + ((value - x0) / (x1 - x0)) * inner.width;
  const y = (value: number) => PLOT.top + ((y1 - value) / (y1 - y0)) * inner.height;
  const texts = ['Upper limit', 'Bias', 'Lower limit'] as const;
  let last = -Infinity;
  const limits = lines.map(({ value, low, high }, k): Limit => {
    const at = y(value);
    last = Math.max(at, last + LABEL_PX);
    return {
      text: `${texts[k]!} ${formatSigned(value, decimals)}`,
      y: at,
      band: low === null || high === null ? null : [y(high), y(low)],
      labelY: last,
    };
  });
  const [ticksX, ticksY] = [
    ticksIn(x0, x1, inner.width / TICK_PX.x),
    ticksIn(y0, y1, inner.height / TICK_PX.y),
  ];
  return {
    dots: pairs.map(({ mean, difference }) => ({ x: x(mean), y: y(difference) })),
    limits,
    zeroY: y(0),
    ticksX: ticksX.map((value) => ({ x: x(value), text: formatNumber(value, tickDecimals(ticksX)) })),
    ticksY: ticksY.map((value) => ({ y: y(value), text: formatSigned(value, tickDecimals(ticksY)) })),
  };
}

function padded(low: number, high: number): readonly [number, number] {
  const room = 0.06 * (high - low) || 0.05 * Math.abs(high) || 1;
  return [low - room, high + room];
}
