/**
 * Pointing at the time axis: a click puts the cursor, a drag moves the window, the wheel and two fingers zoom.
 * Every one of them has a key and a button as well.
 */
export interface Pointable {
  /** Moment under a pixel from the element's left edge, s. */
  readonly timeAt: (pixel: number) => number;
  readonly place: (timeS: number) => void;
  readonly panBy: (timeS: number) => void;
  readonly zoom: (aboutS: number, factor: number) => void;
}

/** A press that moved less than this is a click, px. */
const CLICK_PX = 4;
/** Pixels of one notch where a wheel counts lines. */
const LINE_PX = 30;

/** Listens to an element; the returned function stops. */
export function listen(element: HTMLElement, axis: Pointable): () => void {
  const over = new AbortController();
  const options = { signal: over.signal };
  const fingers = new Map<number, number>();
  let pressedAt: number | null = null;
  const pixelOf = (event: MouseEvent) => event.clientX - element.getBoundingClientRect().left;

  element.addEventListener(
    'pointerdown',
    (event) => {
      const onControl =
        event.target instanceof Element && event.target.closest('button, [role="slider"]') !== null;
      if (event.button !== 0 || onControl) return;
      fingers.set(event.pointerId, pixelOf(event));
      pressedAt = fingers.size === 1 ? pixelOf(event) : null;
    },
    options,
  );

  element.addEventListener(
    'pointermove',
    (event) => {
      const before = fingers.get(event.pointerId);
      if (before === undefined) return;
      const here = pixelOf(event);
      if (fingers.size === 1) {
        if (pressedAt !== null && Math.abs(here - pressedAt) < CLICK_PX) return;
        if (pressedAt !== null) element.setPointerCapture(event.pointerId);
        pressedAt = null;
        axis.panBy(axis.timeAt(before) - axis.timeAt(here));
      } else {
        const other = [...fingers].find(([id]) => id !== event.pointerId)![1];
        const [was, is] = [Math.abs(before - other), Math.abs(here - other)];
        if (was > 0 && is > 0) axis.zoom(axis.timeAt((here + other) / 2), was / is);
      }
      fingers.set(event.pointerId, here);
    },
    options,
  );

  const lift = (event: PointerEvent) => {
    if (event.type === 'pointerup' && pressedAt !== null && fingers.has(event.pointerId))
      axis.place(axis.timeAt(pixelOf(event)));
    fingers.delete(event.pointerId);
    pressedAt = null;
  };
  element.addEventListener('pointerup', lift, options);
  element.addEventListener('pointercancel', lift, options);
  element.addEventListener('pointerleave', lift, options);

  element.addEventListener(
    'wheel',
    (event) => {
      event.preventDefault();
      const scale = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? LINE_PX : 1;
      const sideways = event.shiftKey ? event.deltaY : event.deltaX;
      if (Math.abs(event.deltaX) > Math.abs(event.deltaY) || event.shiftKey)
        axis.panBy(axis.timeAt(sideways * scale) - axis.timeAt(0));
      else axis.zoom(axis.timeAt(pixelOf(event)), Math.exp(event.deltaY * scale * 0.002));
    },
    { ...options, passive: false },
  );

  return () => over.abort();
}
