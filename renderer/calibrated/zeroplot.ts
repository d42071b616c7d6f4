/** Where the marks of a zero plot lie, px: one column per trial, kPa upwards. */
import { largest, smallest } from '../../core/base/extent.ts';
import { ticksIn } from '../plot/scale.ts';
import { formatSigned } from '../format.ts';
import { fromFirstKpa, shiftText, type ZeroSeries } from './zeroseries.ts';

export const PLOT = { heightPx: 236, left: 72, right: 16, top: 28, bottom: 52 } as const;
/** Least half-range of the kPa axis, so that noise does not fill the plot. */
const LEAST_KPA = 0.05;
const TICKS = 5;

export interface ZeroColumn {
  readonly trial: string;
  readonly participant: string;
  readonly x: number;
  readonly beforeX: number;
  readonly afterX: number;
  readonly halfWidth: number;
  readonly before: number | null;
  readonly after: number | null;
  /** Top and bottom of the protocol's limit about the zero before. */
  readonly limit: readonly [number, number] | null;
  readonly shift: string;
  readonly beyond: boolean;
}

export interface ZeroPicture {
  readonly columns: readonly ZeroColumn[];
  readonly ticks: readonly { readonly y: number; readonly text: string }[];
}

/** The picture of a sensor's zeros; null where no reading can be brought to kPa. */
export function zeroPicture(
  series: ZeroSeries,
  limitKpa: number | null,
  widthPx: number,
): ZeroPicture | null {
  const rows = series.readings.map((reading) => ({
    reading,
    before: fromFirstKpa(series, reading.before),
    after: fromFirstKpa(series, reading.after),
  }));
  const shown = rows.flatMap(({ before, after }) => [
    ...(before === null ? [] : [before, before - (limitKpa ?? 0), before + (limitKpa ?? 0)]),
    ...(after === null ? [] : [after]),
  ]);
  if (shown.length === 0) return null;
  const room = 0.08 * (largest(shown) - smallest(shown));
  const low = Math.min(-LEAST_KPA, smallest(shown)) - room;
  const high = Math.max(LEAST_KPA, largest(shown)) + room;
  const inner = PLOT.heightPx - PLOT.top - PLOT.bottom;
  const y = (kpa: number) => PLOT.top + ((high - kpa) / (high - low)) * inner;
  const columnPx = (widthPx - PLOT.left - PLOT.right) / rows.length;
  const apart = Math.min(12, columnPx / 5);
  const columns = rows.map(({ reading, before, after }, k) => {
    const x = PLOT.left + (k + 0.5) * columnPx;
    return {
      trial: reading.trial,
      participant: reading.participant,
      x,
      beforeX: x - apart,
      afterX: x + apart,
      halfWidth: Math.min(24, columnPx * 0.42),
      before: before === null ? null : y(before),
      after: after === null ? null : y(after),
      limit:
        before === null || limitKpa === null ? null : ([y(before + limitKpa), y(before - limitKpa)] as const),
      shift: reading.shiftKpa === null ? '' : shiftText(reading.shiftKpa),
      beyond: reading.beyond === true,
    };
  });
  const steps = ticksIn(low, high, TICKS);
  const decimals = steps.length > 1 && steps[1]! - steps[0]! < 0.1 ? 2 : 1;
  return { columns, ticks: steps.map((kpa) => ({ y: y(kpa), text: formatSigned(kpa, decimals) })) };
}
