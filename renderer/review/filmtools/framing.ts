/** Which part of the picture is shown, as shares of the pane it lies in: pure arithmetic, nothing of a screen. */

/** A magnified picture; `x` and `y` are the top left corner of what is shown, as shares of the whole picture. */
export interface Framing {
  /** Times the size that fits the pane, from 1. */
  readonly zoom: number;
  readonly x: number;
  readonly y: number;
}

export const WHOLE: Framing = { zoom: 1, x: 0, y: 0 };
/** The closest that a picture is looked at. */
export const MOST_ZOOM = 12;

/** Zooms by a factor about a place of the pane (shares, 0…1), which keeps what it shows. */
export function zoomAbout(
  framing: Framing,
  at: { readonly x: number; readonly y: number },
  factor: number,
): Framing {
  const zoom = Math.min(MOST_ZOOM, Math.max(1, framing.zoom * factor));
  return within({
    zoom,
    x: framing.x + at.x / framing.zoom - at.x / zoom,
    y: framing.y + at.y / framing.zoom - at.y / zoom,
  });
}

/** Moves what is shown by shares of the pane; positive goes right and down over the picture. */
export function panBy(framing: Framing, xShare: number, yShare: number): Framing {
  return within({
    ...framing,
    x: framing.x + xShare / framing.zoom,
    y: framing.y + yShare / framing.zoom,
  });
}

function within({ zoom, x, y }: Framing): Framing {
  const most = 1 - 1 / zoom;
  return { zoom, x: Math.min(most, Math.max(0, x)), y: Math.min(most, Math.max(0, y)) };
}

/** A framing as a CSS transform of an element that fills the pane, its origin at the top left. */
export function transformOf({ zoom, x, y }: Framing): string {
  return `translate(${-100 * x * zoom}%, ${-100 * y * zoom}%) scale(${zoom})`;
}

/** A box drawn on the film, px of the film. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** The smallest side of a box, px of the film. */
const LEAST_SIDE = 4;

/** A box brought into the film, in whole pixels. */
export function boxWithin(box: Box, film: { readonly widthPx: number; readonly heightPx: number }): Box {
  const width = Math.round(Math.min(film.widthPx, Math.max(LEAST_SIDE, box.width)));
  const height = Math.round(Math.min(film.heightPx, Math.max(LEAST_SIDE, box.height)));
  return {
    x: Math.round(Math.min(film.widthPx - width, Math.max(0, box.x))),
    y: Math.round(Math.min(film.heightPx - height, Math.max(0, box.y))),
    width,
    height,
  };
}

type Point = { readonly x: number; readonly y: number };

/** The box between two corners, whichever was first. */
export function boxBetween(one: Point, other: Point): Box {
  return {
    x: Math.min(one.x, other.x),
    y: Math.min(one.y, other.y),
    width: Math.abs(one.x - other.x),
    height: Math.abs(one.y - other.y),
  };
}
