/** A camera's view of a mark from above, drawn to scale: the swimmer goes to the right, the camera stands below. */
import { largest, smallest } from '../../../core/base/extent.ts';
import type { MarkView } from '../../../core/protocol/content.ts';

export interface Sketch {
  /** Places in px. */
  readonly eye: readonly [number, number];
  readonly mark: readonly [number, number];
  /** Where the swimmer is seen at the mark. */
  readonly seen: readonly [number, number];
  /** The swimmer's line, from the top. */
  readonly lineY: number;
}

const MARGIN_PX = 24;

/** @param biasM how far beyond the mark the swimmer is when seen at it, m */
export function sketchOf(view: MarkView, biasM: number, widthPx: number, heightPx: number): Sketch {
  const along = [0, view.alongM, biasM];
  const [least, most] = [smallest(along), largest(along)];
  const across = Math.max(view.acrossM, view.markAcrossM);
  const scale = Math.min(
    (widthPx - 2 * MARGIN_PX) / Math.max(most - least, across / 2),
    (heightPx - 2 * MARGIN_PX) / across,
  );
  const middle = (least + most) / 2;
  const place = (x: number, y: number): [number, number] => [
    widthPx / 2 + (x - middle) * scale,
    heightPx - MARGIN_PX - y * scale,
  ];
  return {
    eye: place(view.alongM, 0),
    mark: place(0, view.markAcrossM),
    seen: place(biasM, view.acrossM),
    lineY: place(0, view.acrossM)[1],
  };
}
