/** Pointing at the picture: the wheel and two keys zoom, a drag moves it or draws a box. */
import type { PictureView } from './pictureview.svelte.ts';

/** Pixels of one notch where a wheel counts lines. */
const LINE_PX = 30;
const WHEEL = 0.002;

export interface Pointed {
  readonly view: PictureView;
  /** Whether pointing is left to the browser's own controls. */
  readonly left: () => boolean;
  readonly film: () => { readonly widthPx: number; readonly heightPx: number };
}

/** Listens to the pane of a picture; the returned function stops. `overlay` is an SVG in the film's own pixels. */
export function pointAtPicture(pane: HTMLElement, { view, left, film }: Pointed): () => void {
  const over = new AbortController();
  const options = { signal: over.signal };
  let last: { x: number; y: number } | null = null;
  let corner: { x: number; y: number } | null = null;

  const share = (event: MouseEvent) => {
    const box = pane.getBoundingClientRect();
    return { x: (event.clientX - box.left) / box.width, y: (event.clientY - box.top) / box.height };
  };
  const inFilm = (event: MouseEvent) => {
    const matrix = pane.querySelector<SVGSVGElement>('svg.overlay')!.getScreenCTM()!.inverse();
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(matrix);
    return { x, y };
  };

  pane.addEventListener(
    'wheel',
    (event) => {
      if (left()) return;
      event.preventDefault();
      const notch = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? LINE_PX : 1;
      view.zoomAt(share(event), Math.exp(-event.deltaY * notch * WHEEL));
    },
    { ...options, passive: false },
  );
  pane.addEventListener(
    'pointerdown',
    (event) => {
      if (event.button !== 0 || left() || (!view.boxing && view.framing.zoom === 1)) return;
      if (event.target instanceof Element && event.target.closest('button, [data-holds-pointer]') !== null)
        return;
      pane.setPointerCapture(event.pointerId);
      last = share(event);
      corner = view.boxing ? inFilm(event) : null;
    },
    options,
  );
  pane.addEventListener(
    'pointermove',
    (event) => {
      if (last === null) return;
      const here = share(event);
      if (corner !== null) view.drawBox(corner, inFilm(event), film());
      else view.panBy(last.x - here.x, last.y - here.y);
      last = here;
    },
    options,
  );
  const lift = () => {
    if (corner !== null) view.boxing = false;
    last = null;
    corner = null;
  };
  pane.addEventListener('pointerup', lift, options);
  pane.addEventListener('pointercancel', lift, options);
  return () => over.abort();
}
