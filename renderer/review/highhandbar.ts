/** Where a stroke's high-hand bar and its whisker lie, px. */
import { largest } from '../../core/base/extent.ts';
import type { Measured } from '../../core/base/uncertainty.ts';
import type { StrokeResult } from '../../core/trial/result.ts';

interface HighHandBar {
  readonly px: number;
  /** One standard uncertainty to either side; null where it is not known. */
  readonly whisker: { readonly from: number; readonly to: number } | null;
}

/** The bar of a high-hand time in s over a room of `fullS` s and `widthPx` px; null without one. */
export function highHandBar(highHand: Measured | null, fullS: number, widthPx: number): HighHandBar | null {
  if (highHand === null || !(fullS > 0)) return null;
  const at = (timeS: number) => Math.min(widthPx, Math.max(0, (timeS / fullS) * widthPx));
  const { value, u } = highHand;
  return { px: at(value), whisker: u === null ? null : { from: at(value - u), to: at(value + u) } };
}

/** The room that holds every stroke's high-hand time with its uncertainty, s; 0 where none has one. */
export function highHandRoomS(strokes: readonly StrokeResult[]): number {
  return Math.max(
    0,
    largest(strokes.map(({ highHand }) => (highHand === null ? 0 : highHand.value + (highHand.u ?? 0)))),
  );
}
