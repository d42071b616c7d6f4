/**
 * Memory of long series, used again: whoever reads trial after trial would else ask for megabytes with each, and a
 * collector would look for those that nobody needs any more. What a series holds never depends on it.
 * No formula is here: how memory is lent is our own definition.
 */

/** Memory that was given back; the latest is taken first. */
const spare: ArrayBuffer[] = [];
/** So many are kept: what a few trials have; and none longer than nine minutes at 1 kHz, for such series are rare. */
const MOST_SPARE = 24;
const MOST_SPARE_BYTES = 1 << 22;

/**
 * A series of a length whose values are still to be written, every one of them, in whatever unit they have: it may hold
 * what another one held.
 */
export function takeSeries(length: number): Float64Array<ArrayBuffer> {
  const bytes = length * Float64Array.BYTES_PER_ELEMENT;
  const at = spare.findLastIndex((memory) => memory.byteLength >= bytes);
  if (at < 0) return new Float64Array(length);
  const [memory] = spare.splice(at, 1);
  return new Float64Array(memory!, 0, length);
}

/** Gives memory back that nobody reads any more. */
export function giveSeries(memory: ArrayBuffer): void {
  if (memory.byteLength > MOST_SPARE_BYTES) return;
  spare.push(memory);
  if (spare.length > MOST_SPARE) spare.shift();
}

/** Room to work in that keeps nothing from one call to the next: it grows to the longest series that was asked for. */
export class Scratch {
  private memory = new Float64Array(0);

  /** The first `length` values, to be written before they are read. */
  take(length: number): Float64Array {
    if (this.memory.length < length) this.memory = new Float64Array(length);
    return this.memory.subarray(0, length);
  }
}
