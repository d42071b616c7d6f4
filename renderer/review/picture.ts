/** What the force plot shows in one window: points, ranges and ticks, worked out before anything is drawn. */
import { largest, smallest } from '../../core/base/extent.ts';
import type { Hand } from '../../core/base/hand.ts';
import type { TraceView } from '../../core/contract/views.ts';
import { downsample, type Reduced, type Span } from '../plot/downsample.ts';
import type { Samples } from './samples.ts';
import { roundRange, ticksIn } from '../plot/scale.ts';

export interface Picture {
  readonly span: Span;
  /** Size of the whole pane, insets included, px. */
  readonly widthPx: number;
  readonly heightPx: number;
  /** Time (s), force (N), time, force, …; null for a hand without a force. */
  readonly left: Float64Array | null;
  readonly right: Float64Array | null;
  readonly rangeN: readonly [number, number];
  /** True where so many samples fall on a pixel that a line becomes a filled band. */
  readonly dense: boolean;
  readonly ticksS: readonly number[];
  readonly ticksN: readonly number[];
}

/** From this many samples per pixel a stroke's pulse is but a few pixels wide. */
const DENSE_PER_PIXEL = 40;
/** Pixels that a tick's label needs along an axis. */
const TICK_PX = { time: 72, force: 40 } as const;

/** Works out a picture. `plotPx` is the size of the plot within its insets. */
export function makePicture(
  trace: TraceView | null,
  samples: Samples,
  span: Span,
  pane: { readonly widthPx: number; readonly heightPx: number },
  plotPx: { readonly width: number; readonly height: number },
  wholeRangeN: readonly [number, number] | null,
): Picture {
  const reduced = (hand: Hand): Reduced | null => {
    const values = samples[hand];
    return trace === null || values === null ? null : downsample(values, trace, span, plotPx.width);
  };
  const [left, right] = [reduced('left'), reduced('right')];
  const rangeN = wholeRangeN ?? roundRange(together([left?.extent ?? null, right?.extent ?? null]));
  return {
    span,
    widthPx: pane.widthPx,
    heightPx: pane.heightPx,
    left: left?.points ?? null,
    right: right?.points ?? null,
    rangeN,
    dense: trace !== null && (span.toS - span.fromS) * trace.rateHz > DENSE_PER_PIXEL * plotPx.width,
    ticksS: ticksIn(span.fromS, span.toS, plotPx.width / TICK_PX.time),
    ticksN: ticksIn(rangeN[0], rangeN[1], plotPx.height / TICK_PX.force),
  };
}

/** Round range of all samples, N. */
export function wholeRange(samples: Samples): readonly [number, number] {
  return roundRange(together([extentOf(samples.left), extentOf(samples.right)]));
}

function extentOf(values: Float64Array | null): readonly [number, number] | null {
  let [least, greatest] = [Infinity, -Infinity];
  for (const value of values ?? []) {
    if (value < least) least = value;
    if (value > greatest) greatest = value;
  }
  return greatest < least ? null : [least, greatest];
}

function together(extents: readonly (readonly [number, number] | null)[]): readonly [number, number] | null {
  const known = extents.filter((extent) => extent !== null);
  if (known.length === 0) return null;
  return [smallest(known.map(([least]) => least)), largest(known.map(([, greatest]) => greatest))];
}

/** The last force of a reduced line that is there, N; null without one. For the label at the line's end. */
export function lastForceN(points: Float64Array | null): number | null {
  if (points === null) return null;
  for (let i = points.length - 1; i > 0; i -= 2) if (!Number.isNaN(points[i]!)) return points[i]!;
  return null;
}

/** Places of the labels at the lines' ends, px from the plot's top, kept apart by a line's height. */
export function endLabelPx(
  lastN: Readonly<Record<Hand, number | null>>,
  rangeN: readonly [number, number],
  heightPx: number,
): Readonly<Record<Hand, number | null>> {
  const at = (force: number | null) =>
    force === null
      ? null
      : Math.min(heightPx, Math.max(0, heightPx * (1 - (force - rangeN[0]) / (rangeN[1] - rangeN[0]))));
  const [left, right] = [at(lastN.left), at(lastN.right)];
  if (left === null || right === null || Math.abs(left - right) >= LABEL_PX) return { left, right };
  const middle = Math.min(heightPx - LABEL_PX / 2, Math.max(LABEL_PX / 2, (left + right) / 2));
  const leftAbove = left <= right;
  return {
    left: middle + (leftAbove ? -LABEL_PX / 2 : LABEL_PX / 2),
    right: middle + (leftAbove ? LABEL_PX / 2 : -LABEL_PX / 2),
  };
}

const LABEL_PX = 18;
