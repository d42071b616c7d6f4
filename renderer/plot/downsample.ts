/**
 * Dense traces to what a screen can show: per pixel the first, least, greatest and last sample, in their order.
 * Buckets are anchored to the trace's own grid, so that a line does not shimmer while it is panned.
 */

/** Samples on an even grid: sample k lies at startS + k / rateHz. */
export interface Grid {
  readonly startS: number;
  readonly rateHz: number;
}

/** A window of time, s. */
export interface Span {
  readonly fromS: number;
  readonly toS: number;
}

export interface Reduced {
  /** Points as time (s), value, time, value, …; a value of NaN breaks the line. */
  readonly points: Float64Array;
  /** Least and greatest sample within the window; null where it holds none. */
  readonly extent: readonly [number, number] | null;
}

/** The samples a window touches, one beyond either edge included, so that a line runs out of the picture. */
function samplesIn(count: number, grid: Grid, span: Span): readonly [number, number] {
  const first = Math.floor((span.fromS - grid.startS) * grid.rateHz);
  const last = Math.ceil((span.toS - grid.startS) * grid.rateHz);
  return [Math.max(0, first), Math.min(count - 1, last)];
}

/**
 * Reduces the samples of a window to at most four points per pixel.
 * Extremes and ends are always kept. Samples that are NaN are gaps: a bucket of nothing else becomes one NaN.
 * @param widthPx pixels that the window is drawn on
 */
export function downsample(values: Float64Array, grid: Grid, span: Span, widthPx: number): Reduced {
  const [first, last] = samplesIn(values.length, grid, span);
  if (last < first || widthPx < 1) return { points: new Float64Array(0), extent: null };
  const perPixel = ((span.toS - span.fromS) * grid.rateHz) / widthPx;
  const writer = new Writer(values, grid, last - first + 1);
  if (perPixel <= 4) for (let k = first; k <= last; k++) writer.sample(k);
  else
    for (let k = first; k <= last;) {
      const bucket = Math.floor(k / perPixel);
      const end = Math.min(last, Math.ceil((bucket + 1) * perPixel) - 1);
      // Rounding may place the boundary one sample early; a bucket always holds its first sample.
      writer.bucket(k, Math.max(k, end));
      k = Math.max(k, end) + 1;
    }
  return writer.done();
}

class Writer {
  readonly #values: Float64Array;
  readonly #grid: Grid;
  readonly #points: Float64Array;
  #length = 0;
  #least = Infinity;
  #greatest = -Infinity;

  constructor(values: Float64Array, grid: Grid, samples: number) {
    this.#values = values;
    this.#grid = grid;
    this.#points = new Float64Array(2 * samples);
  }

  sample(k: number): void {
    const value = this.#values[k]!;
    this.#points[this.#length++] = this.#grid.startS + k / this.#grid.rateHz;
    this.#points[this.#length++] = value;
    if (value < this.#least) this.#least = value;
    if (value > this.#greatest) this.#greatest = value;
  }

  bucket(from: number, to: number): void {
    let [first, last, least, greatest] = [-1, -1, -1, -1];
    for (let k = from; k <= to; k++) {
      const value = this.#values[k]!;
      if (Number.isNaN(value)) continue;
      if (first < 0) first = least = greatest = k;
      last = k;
      if (value < this.#values[least]!) least = k;
      if (value > this.#values[greatest]!) greatest = k;
    }
    if (first < 0) {
      this.sample(from);
      return;
    }
    let before = -1;
    for (const k of [first, Math.min(least, greatest), Math.max(least, greatest), last]) {
      if (k !== before) this.sample(k);
      before = k;
    }
  }

  done(): Reduced {
    return {
      points: this.#points.slice(0, this.#length),
      extent: this.#greatest < this.#least ? null : [this.#least, this.#greatest],
    };
  }
}

/** Value on the straight line between the samples around a moment; null outside the trace and in a gap. */
export function valueAt(values: Float64Array, grid: Grid, timeS: number): number | null {
  const at = (timeS - grid.startS) * grid.rateHz;
  const before = Math.floor(at + 1e-6);
  const rest = Math.max(0, at - before);
  if (before < 0 || before >= values.length) return null;
  if (rest < 1e-6) return finite(values[before]!);
  if (before + 1 >= values.length) return null;
  return finite(values[before]! + rest * (values[before + 1]! - values[before]!));
}

function finite(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}

/** A copy of samples with NaN where a span (s, closed) was filled: a gap is drawn as a gap. */
export function withGaps(
  values: Float64Array,
  grid: Grid,
  gaps: readonly { readonly startS: number; readonly endS: number }[],
): Float64Array {
  if (gaps.length === 0) return values;
  const copy = values.slice();
  for (const gap of gaps) {
    const from = Math.max(0, Math.ceil((gap.startS - grid.startS) * grid.rateHz - 1e-6));
    const to = Math.min(values.length - 1, Math.floor((gap.endS - grid.startS) * grid.rateHz + 1e-6));
    copy.fill(NaN, from, to + 1);
  }
  return copy;
}
