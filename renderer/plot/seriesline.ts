/** A small line of what was searched, with ticks where something was found. */
import { downsample } from './downsample.ts';

export interface SeriesDrawn {
  /** s, ascending. */
  readonly timesS: Float64Array;
  readonly values: Float64Array;
  /** Moments found, s. */
  readonly atS: readonly number[];
}

export const LINE = { heightPx: 72, pad: 6 } as const;

/** The line as an SVG path and the pixels of what was found. */
export function seriesPath(
  { timesS, values, atS }: SeriesDrawn,
  widthPx: number,
): { readonly path: string; readonly marks: readonly number[] } {
  const [from, to] = [timesS[0] ?? 0, timesS.at(-1) ?? 1];
  const rateHz = (timesS.length - 1) / (to - from || 1);
  const { points, extent } = downsample(values, { startS: from, rateHz }, { fromS: from, toS: to }, widthPx);
  const [least, most] = extent ?? [0, 1];
  const x = (timeS: number) => ((timeS - from) / (to - from || 1)) * widthPx;
  const y = (value: number) =>
    LINE.pad + ((most - value) / (most - least || 1)) * (LINE.heightPx - 2 * LINE.pad);
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
  return { path, marks: atS.map(x) };
}
