/** Where a stroke's exposure bar and its whisker lie, px. */
import type { Measured } from '../../core/base/uncertainty.ts';
import type { StrokeResult } from '../../core/trial/result.ts';

interface ExposureBar {
  readonly px: number;
  /** One standard uncertainty to either side; null where it is not known. */
  readonly whisker: { readonly from: number; readonly to: number } | null;
}

/** The bar of an exposure in s over a room of `fullS` s and `widthPx` px; null without an exposure. */
export function exposureBar(exposure: Measured | null, fullS: number, widthPx: number): ExposureBar | null {
  if (exposure === null || !(fullS > 0)) return null;
  const at = (timeS: number) => Math.min(widthPx, Math.max(0, (timeS / fullS) * widthPx));
  const { value, u } = exposure;
  return { px: at(value), whisker: u === null ? null : { from: at(value - u), to: at(value + u) } };
}

/** The room that holds every stroke's exposure with its uncertainty, s; 0 where none has one. */
export function exposureRoomS(strokes: readonly StrokeResult[]): number {
  return Math.max(
    0,
    ...strokes.map(({ exposure }) => (exposure === null ? 0 : exposure.value + (exposure.u ?? 0))),
  );
}
