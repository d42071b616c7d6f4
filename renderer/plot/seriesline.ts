/** A small line of what was searched, with its axes and ticks where something was found. */
import { formatNumber } from '../format.ts';
import { downsample } from './downsample.ts';
import { tickDecimals, ticksIn } from './scale.ts';

export interface SeriesDrawn {
  /** s, ascending. */
  readonly timesS: Float64Array;
  readonly values: Float64Array;
  /** Moments found, s. */
  readonly atS: readonly number[];
}

/** The plot and the room around it for its axes, px. */
export const LINE = { heightPx: 128, left: 72, right: 12, top: 8, bottom: 40 } as const;

interface LineTick {
  readonly px: number;
  readonly text: string;
}

export interface LineDrawn {
  /** The line as an SVG path. */
  readonly path: string;
  /** Where something was found, px from the left. */
  readonly marks: readonly number[];
  /** Round times, s, and round values. */
  readonly ticksX: readonly LineTick[];
  readonly ticksY: readonly LineTick[];
}

/** The line and its axes in a picture so wide. */
export function seriesPath({ timesS, values, atS }: SeriesDrawn, pictureWidthPx: number): LineDrawn {
  const widthPx = Math.max(1, pictureWidthPx - LINE.left - LINE.right);
  const [from, to] = [timesS[0] ?? 0, timesS.at(-1) ?? 1];
  const rateHz = (timesS.length - 1) / (to - from || 1);
  const { points, extent } = downsample(values, { startS: from, rateHz }, { fromS: from, toS: to }, widthPx);
  const [least, most] = extent ?? [0, 1];
  const x = (timeS: number) => LINE.left + ((timeS - from) / (to - from || 1)) * widthPx;
  const y = (value: number) =>
    LINE.top + ((most - value) / (most - least || 1)) * (LINE.heightPx - LINE.top - LINE.bottom);
  let path = '';
  let pen = 'M';
  for (let i = 0; i < points.length; i += 2) {
    const value = points[i + 1]!;
    if (!Number.isFinite(value)) pen = 'M';
    else {
      path += `${pen}${x(points[i]!).toFixed(1)} ${y(value).toFixed(1)}`;
      pen = 'L';
    }
  }
  const ticks = (ends: readonly [number, number], about: number, place: (value: number) => number) => {
    const round = ticksIn(ends[0], ends[1], about);
    const decimals = tickDecimals(round);
    return round.map((value) => ({ px: place(value), text: formatNumber(value, decimals) }));
  };
  return {
    path,
    marks: atS.map(x),
    ticksX: ticks([from, to], Math.max(2, Math.floor(widthPx / 90)), x),
    ticksY: ticks([least, most], 3, y),
  };
}
