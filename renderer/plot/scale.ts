/** Axes: from a window of time or a range of values to pixels, round ticks, and zooming and panning a window. */
import type { Span } from './downsample.ts';

/** Pixel of a moment on an axis `widthPx` wide, not clipped. */
export function toPixel(span: Span, widthPx: number, timeS: number): number {
  return ((timeS - span.fromS) / (span.toS - span.fromS)) * widthPx;
}

/** Moment under a pixel of an axis `widthPx` wide, s. */
export function toTime(span: Span, widthPx: number, pixel: number): number {
  return span.fromS + (pixel / widthPx) * (span.toS - span.fromS);
}

/** A step of 1, 2 or 5 times a power of ten that cuts a range into at most `most` parts. */
function roundStep(range: number, most: number): number {
  const rough = range / most;
  const power = 10 ** Math.floor(Math.log10(rough));
  const factor = [1, 2, 5, 10].find((one) => one * power >= rough * (1 - 1e-9))!;
  return factor * power;
}

/** Round ticks within a range, at most about `most` of them. */
export function ticksIn(from: number, to: number, most: number): readonly number[] {
  if (!(to > from)) return [from];
  const step = roundStep(to - from, Math.max(1, most));
  const first = Math.ceil(from / step - 1e-9);
  const last = Math.floor(to / step + 1e-9);
  const decimals = Math.max(0, -Math.floor(Math.log10(step)));
  return Array.from({ length: last - first + 1 }, (_, k) => Number(((first + k) * step).toFixed(decimals)));
}

/** Digits after the decimal marker that tell neighbouring ticks apart. */
export function tickDecimals(ticks: readonly number[]): number {
  const [first, second] = ticks;
  if (first === undefined || second === undefined) return 2;
  return Math.max(0, -Math.floor(Math.log10(second - first) + 1e-9));
}

/** A range of values widened to round ends; zero is always in it. */
export function roundRange(extent: readonly [number, number] | null): readonly [number, number] {
  const [least, greatest] = extent === null ? [0, 1] : [Math.min(0, extent[0]), Math.max(0, extent[1])];
  if (!(greatest > least)) return [0, 1];
  // Finer than the ticks, to keep the line large in its frame.
  const step = roundStep(greatest - least, 12);
  return [Math.floor(least / step + 1e-9) * step, Math.ceil(greatest / step - 1e-9) * step];
}

/** The shortest window that can be shown, s. */
const LEAST_SPAN_S = 0.02;

/** A window of the same length moved into its domain; cut to the domain where it is longer. */
export function fitInto(domain: Span, span: Span): Span {
  const length = Math.min(domain.toS - domain.fromS, Math.max(LEAST_SPAN_S, span.toS - span.fromS));
  const fromS = Math.min(Math.max(span.fromS, domain.fromS), domain.toS - length);
  return { fromS, toS: fromS + length };
}

/** Zooms by a factor (below 1: closer) about a moment that keeps its place in the picture. */
export function zoom(domain: Span, span: Span, aboutS: number, factor: number): Span {
  const length = span.toS - span.fromS;
  const wanted = Math.min(domain.toS - domain.fromS, Math.max(LEAST_SPAN_S, length * factor));
  const share = (aboutS - span.fromS) / length;
  const fromS = aboutS - share * wanted;
  return fitInto(domain, { fromS, toS: fromS + wanted });
}

/** Moves a window by a time, s. */
export function pan(domain: Span, span: Span, byS: number): Span {
  return fitInto(domain, { fromS: span.fromS + byS, toS: span.toS + byS });
}

/** The window moved just far enough to hold a moment; the same window where it does already. */
export function reveal(domain: Span, span: Span, timeS: number): Span {
  if (timeS >= span.fromS && timeS <= span.toS) return span;
  const length = span.toS - span.fromS;
  const margin = length * 0.1;
  const fromS = timeS < span.fromS ? timeS - margin : timeS - length + margin;
  return fitInto(domain, { fromS, toS: fromS + length });
}

/** A span with a margin on either side, as a share of its length, cut to the domain. */
export function withMargin(domain: Span, span: Span, share: number): Span {
  const margin = (span.toS - span.fromS) * share;
  const wide = {
    fromS: Math.max(domain.fromS, span.fromS - margin),
    toS: Math.min(domain.toS, span.toS + margin),
  };
  return fitInto(domain, wide);
}
