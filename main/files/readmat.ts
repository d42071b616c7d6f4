/**
 * Numeric arrays of MATLAB level 5 MAT-files, compressed or not, in either order of bytes. A vector is a column of the
 * trace under its name; column k of a matrix is `NAME(:,k)`, as the language itself writes it. Source: MAT-File Format
 * (The MathWorks, R2023b), level 5.
 */
import { Buffer } from 'node:buffer';
import { inflateSync } from 'node:zlib';
import { done, failed, type Outcome } from '../../core/base/refusal.ts';
import type { Container, Signal } from './signals.ts';

const HEADER = 128;
/** Data types of elements: their bytes and how a value is read; `miMATRIX` 14 and `miCOMPRESSED` 15 are apart. */
const NUMBERS: Readonly<
  Record<number, readonly [number, (view: DataView, at: number, little: boolean) => number]>
> = {
  1: [1, (view, at) => view.getInt8(at)],
  2: [1, (view, at) => view.getUint8(at)],
  3: [2, (view, at, little) => view.getInt16(at, little)],
  4: [2, (view, at, little) => view.getUint16(at, little)],
  5: [4, (view, at, little) => view.getInt32(at, little)],
  6: [4, (view, at, little) => view.getUint32(at, little)],
  7: [4, (view, at, little) => view.getFloat32(at, little)],
  9: [8, (view, at, little) => view.getFloat64(at, little)],
  12: [8, (view, at, little) => Number(view.getBigInt64(at, little))],
  13: [8, (view, at, little) => Number(view.getBigUint64(at, little))],
};
const [MATRIX, COMPRESSED] = [14, 15];
/** Array classes that hold numbers: `mxDOUBLE_CLASS` 6 to `mxUINT64_CLASS` 15. */
const [FIRST_CLASS, LAST_CLASS] = [6, 15];
const COMPLEX = 0x08;
/** What a compressed array may grow to, bytes. */
const MOST_INFLATED = 1 << 29;

/** One element: its data type and its bytes. */
interface Element {
  readonly type: number;
  readonly body: Uint8Array;
  readonly next: number;
}

class Damaged extends Error {}

/** Reads a file's numeric arrays; the failure goes on from "cannot be used: ". */
export function readMat(bytes: Uint8Array): Outcome<Container, string> {
  if (bytes.length < HEADER) return failed('it is no MAT-file of level 5');
  const text = latin1(bytes.subarray(0, 116));
  if (/MATLAB 7\.3|HDF/.test(text) || (bytes[0] === 0x89 && text.startsWith('HDF', 1)))
    return failed('it is a MAT-file of version 7.3, which is not read; save it with -v7');
  const order = latin1(bytes.subarray(126, 128));
  if (order !== 'IM' && order !== 'MI') return failed('it is no MAT-file of level 5; save it with -v7');
  const little = order === 'IM';
  const signals: Signal[] = [];
  const faults: string[] = [];
  let at = HEADER;
  try {
    while (at + 8 <= bytes.length) {
      const element = elementAt(bytes, at, little, false);
      at = element.next;
      if (element.type === COMPRESSED) {
        const inflated = inflateSync(element.body, { maxOutputLength: MOST_INFLATED });
        takeMatrix(elementAt(inflated, 0, little, false), little, signals);
      } else takeMatrix(element, little, signals);
    }
  } catch (error) {
    // Bytes that end too early, or that zlib cannot read; anything else is a fault of ours.
    const { code } = error as NodeJS.ErrnoException;
    if (!(error instanceof Damaged || error instanceof RangeError || code?.startsWith('Z_'))) throw error;
    if (signals.length === 0) return failed('it was cut short or is damaged');
    faults.push('The file was cut short or is damaged: arrays at its end were left out; copy it again.');
  }
  return signals.length > 0 ? done({ signals, faults }) : failed('it holds no array of numbers');
}

function elementAt(bytes: Uint8Array, at: number, little: boolean, isPadded: boolean): Element {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const tag = view.getUint32(at, little);
  // A small element: its length stands in the upper half of the first word, its body in the second.
  if (tag >>> 16 !== 0) {
    const [type, length] = [tag & 0xffff, tag >>> 16];
    return { type, body: part(bytes, at + 4, length), next: at + 8 };
  }
  const length = view.getUint32(at + 4, little);
  const end = at + 8 + length;
  return { type: tag, body: part(bytes, at + 8, length), next: isPadded ? Math.ceil(end / 8) * 8 : end };
}

function part(bytes: Uint8Array, at: number, length: number): Uint8Array {
  if (at + length > bytes.length) throw new Damaged();
  return bytes.subarray(at, at + length);
}

/** Adds the columns of an array of numbers; other arrays are passed over. */
function takeMatrix({ type, body }: Element, little: boolean, signals: Signal[]): void {
  if (type !== MATRIX || body.length === 0) return;
  const flags = elementAt(body, 0, little, true);
  const dimensions = elementAt(body, flags.next, little, true);
  const name = elementAt(body, dimensions.next, little, true);
  const view = new DataView(flags.body.buffer, flags.body.byteOffset, flags.body.length);
  const word = view.getUint32(0, little);
  const kind = word & 0xff;
  if (kind < FIRST_CLASS || kind > LAST_CLASS || ((word >>> 8) & COMPLEX) !== 0) return;
  const [rows, columns, ...more] = numbersOf(dimensions, little);
  if (rows === undefined || columns === undefined || more.some((size) => size !== 1)) return;
  const values = numbersOf(elementAt(body, name.next, little, true), little);
  if (values.length !== rows * columns) throw new Damaged();
  const called = latin1(name.body.subarray(0, 64));
  const add = (column: string, part: Float64Array) =>
    signals.push({ name: column, values: part, timeS: null, rateHz: null });
  if (rows === 1 || columns === 1) add(called, values);
  else for (let k = 0; k < columns; k++) add(`${called}(:,${k + 1})`, values.slice(k * rows, (k + 1) * rows));
}

function numbersOf({ type, body }: Element, little: boolean): Float64Array {
  const reader = NUMBERS[type];
  if (reader === undefined) throw new Damaged();
  const [bytes, read] = reader;
  const view = new DataView(body.buffer, body.byteOffset, body.length);
  return Float64Array.from({ length: Math.floor(body.length / bytes) }, (_, k) =>
    read(view, k * bytes, little),
  );
}

function latin1(bytes: Uint8Array): string {
  return Buffer.from(bytes).toString('latin1');
}
